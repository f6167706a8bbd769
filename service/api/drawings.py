"""Answers as drawings: what a request may say of them, and the one place where a sheet becomes an HTTP answer.

A drawing takes milliseconds, so it is made in a thread of a small pool: look-ups that come meanwhile are not kept
waiting, and many drawings at once cannot crowd the processor.
"""

import asyncio
import re
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Annotated, Any, Literal, NamedTuple, TypeVar

import msgspec
from litestar import Request, Response
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, PlainText
from service.api.protocol import JSON, media_type_of
from service.api.quantities import Quantity
from service.core.errors import Issue, OutOfRange
from service.drawings.png import png
from service.drawings.sheet import Sheet
from service.drawings.svg import svg

AnswerType = TypeVar("AnswerType")


class _Drawn(NamedTuple):
    content: bytes
    file_name: str


SVG = "image/svg+xml"
DXF = "image/vnd.dxf"
PNG = "image/png"
ANSWER_OR_DRAWING = (JSON, SVG, DXF, PNG)
_ENDINGS = {SVG: "svg", DXF: "dxf", PNG: "png"}

LEAST_PNG_WIDTH = 320
MOST_PNG_WIDTH = 2400
"""Bounds of this project on a picture, in pixels."""

UPRIGHT_BELOW = 900
"""Pictures of less than so many pixels are those of a phone held upright (ours)."""

_POOL = ThreadPoolExecutor(max_workers=2, thread_name_prefix="drawing")


class DrawingWishes(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is said of the drawing, where the Accept header asks for one."""

    unit: (
        Annotated[
            Literal["mm", "in"], Meta(description="Unit of the coordinates of a DXF; that of `units` by default.")
        ]
        | UnsetType
    ) = UNSET
    png_width: Annotated[
        float, Meta(ge=1, le=1e6, multiple_of=1, description="Width of a PNG in pixels, 320 to 2400.")
    ] = 1200
    file_name: (
        Annotated[PlainText, Meta(description="Name of the file without its ending; odd characters are replaced.")]
        | UnsetType
    ) = UNSET


class DrawableRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A calculation whose answer can be drawn."""

    drawing: DrawingWishes | UnsetType = UNSET


async def answer_or_drawing(
    request: Request[Any, Any, Any], data: DrawableRequest, answer: AnswerType, sheet: Callable[[bool], Sheet]
) -> AnswerType | Response[bytes]:
    """The answer itself, or the drawing that the Accept header asks for.

    ``sheet`` makes the sheet; it is told whether it shall stand upright, its words below the view, as narrow pictures
    do so that they can be read.

    Raises:
        OutOfRange: ``image_size_out_of_range``.
    """
    wishes = DrawingWishes() if isinstance(data.drawing, UnsetType) else data.drawing
    _check(wishes)
    media_type = media_type_of(request)
    if media_type == JSON:
        return answer
    if isinstance(wishes.unit, UnsetType):
        wishes = msgspec.structs.replace(wishes, unit="mm" if data.units == "metric" else "in")
    upright = media_type == PNG and wishes.png_width < UPRIGHT_BELOW
    loop = asyncio.get_running_loop()
    drawn = await loop.run_in_executor(_POOL, lambda: _draw(sheet(upright), media_type, wishes))
    return Response(
        drawn.content,
        media_type=media_type,
        headers={"content-disposition": f'inline; filename="{drawn.file_name}"', "vary": "accept"},
    )


def _check(wishes: DrawingWishes) -> None:
    width = wishes.png_width
    if not LEAST_PNG_WIDTH <= width <= MOST_PNG_WIDTH:
        message = f"A picture of {width:g} pixels is not made; {LEAST_PNG_WIDTH} to {MOST_PNG_WIDTH} are offered."
        limit = LEAST_PNG_WIDTH if width < LEAST_PNG_WIDTH else MOST_PNG_WIDTH
        raise OutOfRange(Issue("drawing.png_width", "image_size_out_of_range", message, limit, width))


def _draw(sheet: Sheet, media_type: str, wishes: DrawingWishes) -> _Drawn:
    name = sheet.title if isinstance(wishes.file_name, UnsetType) else wishes.file_name
    return _Drawn(_written(sheet, media_type, wishes), f"{plain_name(name)}.{_ENDINGS[media_type]}")


def _written(sheet: Sheet, media_type: str, wishes: DrawingWishes) -> bytes:
    if media_type == DXF:
        # A large library that few requests need: it is loaded by the first of them.
        from service.drawings.dxf import dxf  # noqa: PLC0415

        return dxf(sheet, "in" if wishes.unit == "in" else "mm")
    return svg(sheet) if media_type == SVG else png(svg(sheet), int(wishes.png_width))


def plain_name(name: str) -> str:
    """A file name that every file system takes and that names no other folder.

    Examples:
        >>> plain_name("../wheel 80/17")
        'wheel-80-17'
    """
    return re.sub(r"[^A-Za-z0-9_]+", "-", name).strip("-")[:60] or "drawing"


def measure(quantity: Quantity) -> str:
    """A quantity as it is written on a drawing: mm to two decimals, inches to three."""
    digits = 3 if quantity.unit == "in" else 2
    return f"{quantity.value:.{digits}f} {quantity.unit}"


def tolerance(minus: Quantity | UnsetType) -> str:
    """A minus tolerance behind its size; nothing where none is tabulated."""
    return "" if isinstance(minus, UnsetType) else f"  +0 / -{measure(minus)}"


def notes_of(answer: Answer[Any], origin: str = "at the centre of the wheel") -> tuple[str, ...]:
    """What must be read with the drawing: warnings, cautions, scale and what it was made from."""
    versions = answer.versions
    notes = [warning.message for warning in answer.warnings if warning.severity != "info"]
    notes += [caution.text for caution in answer.cautions]
    notes += [
        "Drawn to scale; measure one known size after printing or import.",
        f"Engine {versions.engine}, data {versions.data}. Origin {origin}.",
    ]
    return tuple(notes)
