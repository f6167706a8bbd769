"""Answers as drawings: what a request may say of them, and the one place where a sheet becomes an HTTP answer.

A drawing takes milliseconds, so it is made by a process of its own, for which a thread of a small pool waits: look-ups
that come meanwhile are not kept waiting, and many drawings at once cannot crowd the processor.
"""

import asyncio
import re
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Annotated, Any, Literal, NamedTuple, TypeAlias, TypeVar

import msgspec
from litestar import Request, Response
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, PlainText
from service.api.protocol import JSON, media_type_of
from service.api.quantities import Quantity
from service.core.errors import Issue, OutOfRange
from service.drawings.office import DrawingOffice
from service.drawings.sheet import Sheet
from service.drawings.writing import Form

AnswerType = TypeVar("AnswerType")


class _Drawn(NamedTuple):
    content: bytes
    file_name: str


SVG = "image/svg+xml"
DXF = "image/vnd.dxf"
PNG = "image/png"
ANSWER_OR_DRAWING = (JSON, SVG, DXF, PNG)
_ENDINGS: dict[str, Literal["svg", "dxf", "png"]] = {SVG: "svg", DXF: "dxf", PNG: "png"}

LEAST_PNG_WIDTH = 320
MOST_PNG_WIDTH = 2400
"""Bounds of this project on a picture, in pixels."""

UPRIGHT_BELOW = 900
"""Pictures of less than so many pixels are those of a phone held upright (ours)."""

_POOL = ThreadPoolExecutor(max_workers=2, thread_name_prefix="drawing")
_OFFICES = threading.local()

Drawing: TypeAlias = Callable[[], Sheet]
"""What makes a sheet: a function of ``service.drawings`` with its arguments, which go to another process."""


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
    request: Request[Any, Any, Any], data: DrawableRequest, answer: AnswerType, drawing: Callable[[bool], Drawing]
) -> AnswerType | Response[bytes]:
    """The answer itself, or the drawing that the Accept header asks for.

    ``drawing`` is told whether the sheet shall stand upright, its words below the view, as narrow pictures do so that
    they can be read; it gives what makes the sheet in another process.

    Raises:
        OutOfRange: ``image_size_out_of_range``.
    """
    wishes = DrawingWishes() if isinstance(data.drawing, UnsetType) else data.drawing
    _check(wishes)
    media_type = media_type_of(request)
    if media_type == JSON:
        return answer
    unit = wishes.unit
    if isinstance(unit, UnsetType):
        unit = "mm" if data.units == "metric" else "in"
    ending = _ENDINGS[media_type]
    make = drawing(media_type == PNG and wishes.png_width < UPRIGHT_BELOW)
    form = Form(ending, unit, int(wishes.png_width))
    loop = asyncio.get_running_loop()
    drawn = await loop.run_in_executor(_POOL, _drawn, make, form, wishes.file_name, ending)
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


def _drawn(make: Drawing, form: Form, file_name: str | UnsetType, ending: str) -> _Drawn:
    """The drawing, made by the process of this thread."""
    office: DrawingOffice | None = getattr(_OFFICES, "office", None)
    if office is None:
        office = _OFFICES.office = DrawingOffice()
    title, content = office.draw(make, form)
    return _Drawn(content, f"{plain_name(title if isinstance(file_name, UnsetType) else file_name)}.{ending}")


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
