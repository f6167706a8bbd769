"""``GET /v1/chains``: sizes of chain by filter and by designation."""

import re
from functools import lru_cache
from typing import Annotated, Any, Literal, get_args

import msgspec
from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, Versions
from service.api.chain_sheets import Chain, ChainSheets, ChainSummary
from service.api.contract import Example, operation
from service.api.paging import Cursor, Limit, page_of
from service.api.problems import refuse_unknown_entry
from service.api.query import read_query
from service.api.representations import Reply, Representation, Representations
from service.core.errors import EngineeringError, Issue, NotInReference
from service.reference.chains import ChainSize, Family, fold
from service.reference.designations import Designation, read_designation

Units = Annotated[Literal["metric", "inch"], Meta(description="Units of the answer.")]
FilterText = Annotated[str, Meta(min_length=1, max_length=60)]
_FAMILIES: tuple[str, ...] = get_args(Family)


class ChainFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which sizes are wanted; all conditions hold together, and a size whose figure is missing does not meet it."""

    family: Annotated[Family, Meta(description="Family of chain.")] | UnsetType = UNSET
    standard: (
        Annotated[FilterText, Meta(description="Part of the name of the standard, such as `ISO 606`.")] | UnsetType
    ) = UNSET
    series: Annotated[FilterText, Meta(description="Series as listed, such as `heavy`.")] | UnsetType = UNSET
    name_contains: (
        Annotated[FilterText, Meta(description="Part of the designation or an alias, taken literally.")] | UnsetType
    ) = UNSET
    min_pitch_mm: Annotated[float, Meta(ge=0, description="Least pitch, mm.")] = 0.0
    max_pitch_mm: Annotated[float, Meta(gt=0, description="Greatest pitch, mm.")] | UnsetType = UNSET
    min_tensile_strength_n: Annotated[
        float, Meta(ge=0, description="Least minimum tensile strength, N, of the strands asked, else of one.")
    ] = 0.0
    strand_count: Annotated[int, Meta(ge=1, le=30, description="Strands in which the size must be served.")] = 1
    units: Units = "metric"
    limit: Limit = 50
    cursor: Cursor | UnsetType = UNSET


class ChainList(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Sizes in the order of family, pitch and designation."""

    items: list[ChainSummary]
    total: Annotated[int, Meta(description="Sizes that meet the filter, on all pages.")]
    next_cursor: Annotated[str, Meta(description="Left out on the last page.")] | UnsetType = UNSET
    versions: Versions


class ChainView(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a size is shown."""

    units: Units = "metric"


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    sheets = ChainSheets(context)
    ordered = sorted(context.reference.chains.sizes, key=_order)
    known = Representations()

    # Reading a name costs more than answering it; callers ask for few names again and again.
    @lru_cache(maxsize=4096)
    def read(designation: str) -> Designation:
        return read_designation(context.reference.chains, designation, "designation")

    @get(
        "/v1/chains",
        **operation(
            "list_chains",
            tag="catalogue",
            summary="Sizes of chain by family, standard, pitch, strength and strands",
            description=(
                "One line for each size that meets all filters, in a stable order. A size whose figure the tables "
                "lack does not meet a filter on it. Pages follow one another by cursor; a cursor ends with the version "
                "of the data it came from."
            ),
            examples=LIST_EXAMPLES,
            answer=ChainList,
            query=ChainFilter,
        ),
    )
    def list_chains(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, ChainFilter)
        found = [size for size in ordered if _meets(size, wanted)]
        sizes, next_cursor = page_of(
            found,
            wanted.cursor,
            wanted.limit,
            filters=msgspec.structs.replace(wanted, limit=50, cursor=UNSET),
            data_version=context.versions.data,
        )
        answer = ChainList(
            items=[sheets.summary(size, wanted.strand_count, wanted.units) for size in sizes],
            total=len(found),
            next_cursor=next_cursor,
            versions=context.versions,
        )
        return Representation.of(answer).reply(request)

    @get(
        "/v1/chains/{designation:path}",
        **operation(
            "get_chain",
            tag="catalogue",
            summary="Everything known of a size of chain",
            description=(
                "Every printed figure with its side, source, place and confidence; where sources disagree all are "
                "shown and one is marked as preferred. The designation may name strands (`80-2`) and may be an alias; "
                "a name that fits no size, or several, is answered 404 with the candidates."
            ),
            examples=EXAMPLES,
            answer=Chain,
            query=ChainView,
            errors=(404,),
        ),
    )
    def get_chain(request: Request[Any, Any, Any], designation: FromPath[str]) -> Reply:
        system = read_query(request, ChainView).units
        try:
            found = read(designation[1:])
        except EngineeringError as error:
            raise refuse_unknown_entry(_motor_cycle(designation[1:], context) or error) from None
        key = (found.size.designation, found.strand_count, system)
        return known.get(key, lambda: sheets.chain(found, system)).reply(request)

    return [list_chains, get_chain]


def _motor_cycle(text: str, context: Context) -> NotInReference | None:
    """The number of a motor-cycle chain, told apart from sizes that only look like it."""
    found = re.match(r"#?(\d{3})[A-Z]{0,3}$", fold(text[:60]))
    if found is None or found[1] not in context.reference.item_words.vehicle_numbers:
        return None
    message = f"{found[1]} is a number of motor-cycle chain, which is no industrial size and not in the tables."
    hint = "Measure pitch, roller and inner width and send them to /v1/identifications."
    return NotInReference(Issue("designation", "vehicle_series", message, None, text[:60], hint))


def _order(size: ChainSize) -> tuple[int, float, str]:
    pitch = size.find("pitch")
    return _FAMILIES.index(size.row.family), float("inf") if pitch is None else pitch.value, size.designation


def _meets(size: ChainSize, wanted: ChainFilter) -> bool:
    row = size.row
    return (
        wanted.family in (UNSET, row.family)
        and wanted.series in (UNSET, row.series)
        and (isinstance(wanted.standard, UnsetType) or wanted.standard.casefold() in row.standard.casefold())
        and wanted.strand_count <= row.max_strand_count
        and (isinstance(wanted.name_contains, UnsetType) or _called(size, fold(wanted.name_contains)))
        and _within(size, "pitch", wanted.min_pitch_mm, wanted.max_pitch_mm)
        and _within(size, "minimum_tensile_strength", wanted.min_tensile_strength_n, UNSET, wanted.strand_count)
    )


def _called(size: ChainSize, part: str) -> bool:
    return any(part in fold(name) for name in (size.designation, *(alias.alias for alias in size.aliases)))


def _within(size: ChainSize, quantity: str, least: float, most: float | UnsetType, strand_count: int = 1) -> bool:
    """Whether a figure lies between two limits, binary noise set aside; a hole meets no limit."""
    if least == 0 and isinstance(most, UnsetType):
        return True
    figure = size.find(quantity, strand_count)
    if figure is None:
        return False
    value = float(f"{figure.value:.12g}")
    return value >= least and (isinstance(most, UnsetType) or value <= most)


LIST_EXAMPLES = {
    "large_silent_chain": Example(
        "Silent chain of 2 in pitch, two sizes a page",
        query={"family": "silent", "min_pitch_mm": "50.8", "limit": "2", "units": "inch"},
        varying=("total", "next_cursor"),
    ),
    "page_of_another_release": Example(
        "A cursor of an older version of the data",
        query={"cursor": "MDAwMDAwMDAwMDAwLmZmZmZmZmZmLjUw"},
        status=422,
    ),
}
EXAMPLES = {
    "triple_strand": Example("Chain 05B in three strands", path={"designation": "05B-3"}),
    "series_missing": Example("A name that two series share", path={"designation": "16"}, status=404),
}
