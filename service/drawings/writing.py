"""A sheet in the form that was asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from service.drawings.sheet import Sheet


class Form(NamedTuple):
    """How a sheet is written: as text of lines, as a file for cutting in a unit, or as a picture of a width."""

    kind: Literal["svg", "dxf", "png"]
    unit: Literal["mm", "in"] = "mm"
    png_width: int = 1200


def written(sheet: Sheet, form: Form) -> bytes:
    """The content of the file; libraries that are large are loaded by the first that needs them."""
    if form.kind == "dxf":
        from service.drawings.dxf import dxf  # noqa: PLC0415

        return dxf(sheet, form.unit)
    from service.drawings.svg import svg  # noqa: PLC0415

    if form.kind == "svg":
        return svg(sheet)
    from service.drawings.png import png  # noqa: PLC0415

    return png(svg(sheet), form.png_width)
