"""``POST /v1/designation-matches``: descriptions of stock items matched to sizes of chain."""

from collections import Counter
from typing import Annotated, Literal

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import AnswerWarning, Context, PlainText, Versions
from service.api.body import json_body
from service.api.contract import Example, operation
from service.api.quantities import PRESENTERS, Presenter, Quantity
from service.calculations.designation_matching import DesignationMatch, DesignationMatcher, Resolution
from service.calculations.designation_wording import duplicate_key, in_words, name_of, normal_text
from service.reference.chains import Family

MOST_TEXTS = 1000


class ItemText(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A description as it stands in the stock system."""

    text: Annotated[
        str,
        Meta(
            max_length=1000, description="Of more than 255 characters none is read.", examples=["CHAIN RC80 RIV 10FT"]
        ),
    ]
    client_ref: Annotated[PlainText, Meta(description="Reference of the caller, echoed.")] | UnsetType = UNSET


class DesignationMatchRequest(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One to a thousand descriptions."""

    items: Annotated[list[ItemText], Meta(min_length=1, max_length=MOST_TEXTS)]
    units: Annotated[Literal["metric", "inch"], Meta(description="Units of the answer.")] = "metric"


class DecodedWord(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A part of the description and what it was read as."""

    text: str
    meaning: Annotated[str, Meta(description="What it says something about; `leftover` was not understood.")]
    value: Annotated[str, Meta(description="What it says, where that is more than itself.")] = ""


class ItemLength(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Length of the item; a count of pitches is exact arithmetic, whether a connecting link counts is not said."""

    length: Quantity
    pitch_count: Annotated[float, Meta(description="Pitches in the length, before any rounding.")]
    stated_in: Literal["length", "pitches", "links"]


class ItemMatch(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What a description means.

    `exact` is a designation as listed, `normalised` was understood to the last word, `probable` left words over or
    put a slip right, `ambiguous` names the candidates, `none` is no chain of the tables.
    """

    index: Annotated[int, Meta(description="Place in the request, from zero.")]
    client_ref: str | UnsetType = UNSET
    text: Annotated[str, Meta(description="As sent; cut after 255 characters.")]
    resolution: Resolution
    designation: str | UnsetType = UNSET
    strand_count: int | UnsetType = UNSET
    name: Annotated[str, Meta(description="Designation with strands; can be sent as `chain`.")] | UnsetType = UNSET
    family: Family | UnsetType = UNSET
    standard: str | UnsetType = UNSET
    series: str | UnsetType = UNSET
    pitch: Quantity | UnsetType = UNSET
    in_words: Annotated[list[str], Meta(description="The designation explained part by part.")] = []
    component: (
        Annotated[str, Meta(description="`chain`, or the part: `connecting_link`, `sprocket` ...")] | UnsetType
    ) = UNSET
    joint: list[str] = []
    materials: list[str] = []
    finishes: list[str] = []
    variants: Annotated[list[str], Meta(description="Forms that are not the plain chain, such as `hollow_pin`.")] = []
    attachments: list[str] = []
    attachment_spacing: Annotated[int, Meta(description="Every how many pitches.")] | UnsetType = UNSET
    hub: list[str] = []
    teeth: float | UnsetType = UNSET
    length: ItemLength | UnsetType = UNSET
    words: Annotated[list[DecodedWord], Meta(description="The description word by word.")] = []
    leftover: Annotated[list[str], Meta(description="Words that were not understood.")] = []
    candidates: Annotated[list[str], Meta(description="Between which it stands, or what is nearest.")] = []
    normal_text: (
        Annotated[str, Meta(description="In fixed words and order; read again it gives itself.")] | UnsetType
    ) = UNSET
    duplicate_key: (
        Annotated[str, Meta(description="Equal for items that are the same but for length and packing.")] | UnsetType
    ) = UNSET
    notes: list[AnswerWarning] = []


class MatchCounts(msgspec.Struct, frozen=True, kw_only=True):
    """How many descriptions were settled in which way."""

    exact: int
    normalised: int
    probable: int
    ambiguous: int
    none: int


class DesignationMatchAnswer(msgspec.Struct, frozen=True, kw_only=True):
    """Matches in the order of the request."""

    items: list[ItemMatch]
    counts: MatchCounts
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    matcher = DesignationMatcher(context.reference)

    @post(
        "/v1/designation-matches",
        dto=json_body(DesignationMatchRequest),
        **operation(
            "match_designations",
            tag="catalogue",
            summary="Descriptions of stock items matched to sizes of chain",
            description=(
                "Reads descriptions word by word and settles which chain or part each means: size, strands, series, "
                "component, material, finish, length. Whatever is in doubt stays open with its candidates: heavy and "
                "plain series, 40 and 41, series A and B, single and double pitch are never merged. Words that say "
                "nothing here come back as leftover. The vocabulary is the table `item_words`."
            ),
            examples=EXAMPLES,
            in_thread=True,
        ),
    )
    def match_designations(data: JSONBody[DesignationMatchRequest]) -> DesignationMatchAnswer:
        presenter = PRESENTERS[data.units]
        matches = [matcher.match(item.text) for item in data.items]
        counts = Counter(match.resolution for match in matches)
        return DesignationMatchAnswer(
            items=[
                _present(match, matcher, presenter, context, index=index, client_ref=item.client_ref)
                for index, (item, match) in enumerate(zip(data.items, matches, strict=True))
            ],
            counts=MatchCounts(
                exact=counts["exact"],
                normalised=counts["normalised"],
                probable=counts["probable"],
                ambiguous=counts["ambiguous"],
                none=counts["none"],
            ),
            versions=context.versions,
        )

    return [match_designations]


def _present(
    match: DesignationMatch,
    matcher: DesignationMatcher,
    presenter: Presenter,
    context: Context,
    *,
    index: int,
    client_ref: str | UnsetType,
) -> ItemMatch:
    said, size = match.facts, match.size
    pitch = None if size is None else size.find("pitch")
    component = said.component or (UNSET if size is None else "chain")
    return ItemMatch(
        index=index,
        client_ref=client_ref,
        text=match.text,
        resolution=match.resolution,
        designation=UNSET if size is None else size.designation,
        strand_count=UNSET if size is None else match.strand_count,
        name=UNSET if size is None else name_of(size, match.strand_count),
        family=UNSET if size is None else size.row.family,
        standard=UNSET if size is None else size.row.standard,
        series=UNSET if size is None else size.row.series,
        pitch=UNSET if pitch is None else presenter.length(pitch.value),
        in_words=[] if size is None else list(in_words(size, match.strand_count)),
        component=component,
        joint=list(said.of("joint")),
        materials=list(said.of("material")),
        finishes=list(said.of("finish")),
        variants=list(said.of("variant")),
        attachments=[code for code in said.of("attachment") if code != "-"],
        attachment_spacing=UNSET if said.spacing is None else said.spacing,
        hub=list(said.of("hub")),
        teeth=UNSET if said.measures.teeth is None else said.measures.teeth,
        length=UNSET if pitch is None else _length(match, pitch.value, presenter),
        words=[
            DecodedWord(text=part.text, meaning=part.meaning, value="" if part.value == "-" else part.value)
            for part in match.parts
        ],
        leftover=list(match.leftover),
        candidates=list(match.candidates),
        normal_text=normal_text(match, context.reference.item_words) or UNSET,
        duplicate_key=duplicate_key(match, matcher.group) or UNSET,
        notes=[AnswerWarning(code=note.code, severity="info", message=note.message) for note in match.notes],
    )


def _length(match: DesignationMatch, pitch_mm: float, presenter: Presenter) -> ItemLength | UnsetType:
    measures = match.facts.measures
    stated: Literal["length", "pitches", "links"] = "length"
    count = None
    if measures.pitches is not None:
        count, stated = measures.pitches, "pitches"
    elif measures.links is not None:
        count, stated = measures.links, "links"
    elif measures.length_mm is not None:
        count = measures.length_mm / pitch_mm
    if count is None:
        return UNSET
    return ItemLength(length=presenter.length(count * pitch_mm), pitch_count=presenter.number(count), stated_in=stated)


EXAMPLES = {
    "stock_list": Example(
        "Three lines of the stock list of the invented Lindholm plant",
        {
            "items": [
                {"client_ref": "L-1001", "text": "CHAIN ROLLER 80H RIV 10FT LINE 3"},
                {"client_ref": "L-1002", "text": "CHAIN 16 DUPLEX"},
                {"client_ref": "L-1003", "text": "SPROCKET 40B18"},
            ],
            "units": "inch",
        },
    ),
    "empty": Example("A list without descriptions", {"items": []}, status=422),
}
