"""``POST /v1/family-selections``: which families of chain suit a duty, and why."""

from typing import Annotated, Literal

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, PlainText, common
from service.api.body import json_body
from service.api.chain_sheets import Provenance, provenance
from service.api.contract import Example, operation
from service.api.families import FamilyStatement
from service.api.quantities import PRESENTERS, Inputs, Presenter, Speed, Temperature
from service.calculations.family_scores import Fact, FamilyScore, RatingOverride, Term
from service.calculations.family_selection import (
    FamilySelectionInput,
    FamilySelectionResult,
    PresentFamily,
    select_family,
)
from service.reference.families import StatementRow

Identifier = Annotated[str, Meta(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f\x7f]*$")]
DutyPurpose = Literal["drive", "convey", "elevate", "drag", "lift", "hold", "overhead_trolley"]
Trouble = Literal[
    "joint_wear_by_grit",
    "packed_joints",
    "rotted_pins",
    "breaks_by_shock",
    "breaks_by_load",
    "joints_worn_chain_sound",
    "softened_by_heat",
    "noise",
]


class PresentChain(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The family that serves now, and what is wrong with it."""

    family: Annotated[Identifier, Meta(description="Id as listed at `GET /v1/families`.")]
    trouble: Trouble | UnsetType = UNSET


class OwnRating(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A rating of the caller in place of that of the tables."""

    family: Identifier
    criterion: Annotated[Identifier, Meta(description="Id as listed with every family.")]
    rating: Annotated[
        float, Meta(ge=0, le=4, multiple_of=1, description="0 unfit, 1 poor, 2 fair, 3 good, 4 first choice.")
    ]
    reason: PlainText | UnsetType = UNSET


class FamilySelectionRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The duty. The purpose is asked for; of the rest only what is known is sent."""

    purpose: (
        Annotated[DutyPurpose, Meta(description="What the chain does; asked for where it is left out.")] | UnsetType
    ) = UNSET
    shock: Literal["none", "moderate", "severe"] | UnsetType = UNSET
    abrasion: Literal["none", "mild", "moderate", "severe"] | UnsetType = UNSET
    dirt: Literal["none", "dirty", "packs_hard"] | UnsetType = UNSET
    corrosion: Literal["none", "mild", "severe", "rots_enclosed_pins"] | UnsetType = UNSET
    under_water: bool | UnsetType = UNSET
    temperature: Annotated[Temperature, Meta(description="Of the chain.")] | UnsetType = UNSET
    speed: Annotated[Speed, Meta(description="Of the chain.")] | UnsetType = UNSET
    load: Literal["light", "medium", "heavy", "very_heavy"] | UnsetType = UNSET
    lubrication: Literal["regular", "occasional", "none"] | UnsetType = UNSET
    reversing: bool | UnsetType = UNSET
    noise: Literal["unimportant", "quiet"] | UnsetType = UNSET
    attachments: Literal["none", "standard", "at_any_link", "special"] | UnsetType = UNSET
    cost: Literal["unimportant", "matters", "lowest"] | UnsetType = UNSET
    joint_renewal: Annotated[bool, Meta(description="Joints shall be renewed instead of the chain.")] | UnsetType = (
        UNSET
    )
    take_apart: Literal["seldom", "often", "without_tools"] | UnsetType = UNSET
    wheel: Literal["toothed", "pocket_wheel", "plain_sheave"] | UnsetType = UNSET
    present: Annotated[PresentChain, Meta(description="What serves now, if it gives trouble.")] | UnsetType = UNSET
    ratings: Annotated[list[OwnRating], Meta(max_length=200, description="Ratings of the caller.")] = msgspec.field(
        default_factory=list
    )
    limit: Annotated[float, Meta(ge=1, le=30, multiple_of=1, description="Ranked families shown, best first.")] = 5


class SelectionTerm(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One reason in the sum: weight times rating."""

    fact: str
    level: str
    criterion: str
    weight: float
    rating: int
    points: float
    least: Annotated[int, Meta(description="Least rating that is asked; left out where none is.")] | UnsetType = UNSET
    origin: Annotated[Literal["table", "given"], Meta(description="`given`: the rating is the caller's.")]
    asks: Annotated[str, Meta(description="Why the criterion counts.")]
    reason: Annotated[str, Meta(description="Why the rating is what it is.")]
    weight_provenance: Provenance
    rating_provenance: Provenance | UnsetType = UNSET


class SelectionRemark(msgspec.Struct, frozen=True, kw_only=True):
    """What a fact means for this family whatever its ratings."""

    fact: str
    level: str
    sentence: str
    provenance: Provenance


class RankedFamily(msgspec.Struct, frozen=True, kw_only=True):
    """A family that is left, with its sum."""

    rank: Annotated[int, Meta(description="Families of one sum share a place.")]
    family: str
    name: str
    suits_purpose: Annotated[bool, Meta(description="False where it serves the purpose poorly; such stand last.")]
    points: float
    greatest_points: Annotated[float, Meta(description="Of a family that were first choice by every criterion.")]
    terms: list[SelectionTerm]
    remarks: list[SelectionRemark]
    cautions: list[FamilyStatement]


class FailedDemand(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A demand that rules a family out."""

    fact: str
    sentence: str
    criterion: str | UnsetType = UNSET
    rating: int | UnsetType = UNSET
    least: int | UnsetType = UNSET
    origin: Literal["table", "given"] = "table"


class LeftOutFamily(msgspec.Struct, frozen=True, kw_only=True):
    """A family that falls out, with every reason."""

    family: str
    name: str
    reasons: list[FailedDemand]


class ChangingFact(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A fact not sent that would put another family first."""

    fact: str
    level: str
    first: Annotated[str, Meta(description="Left out where no family would be left.")] | UnsetType = UNSET
    leaves_out_first: Annotated[bool, Meta(description="Whether the family that is first now would fall out.")]


class PresentPlace(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How the present family stands."""

    family: str
    rank: Annotated[int, Meta(description="Left out where it falls out.")] | UnsetType = UNSET
    better_at_the_trouble: list[str]


class FamilySelection(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Families in order, those left out, and what would change the order."""

    families_left: Annotated[int, Meta(description="How many meet every demand; `limit` of them are shown.")]
    ranked: list[RankedFamily]
    left_out: list[LeftOutFamily]
    would_change_first: list[ChangingFact]
    present: PresentPlace | UnsetType = UNSET


class FamilySelectionAnswer(Answer[FamilySelection], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/family-selections`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/family-selections",
        dto=json_body(FamilySelectionRequest),
        **operation(
            "select_family",
            tag="choice",
            summary="Families of chain for a duty, by a visible sum of reasons",
            description=(
                "Families that fall short of a demand are left out with the reason; the rest are ranked by the sum of "
                "weight times rating, each term shown with its source. Ratings are common practice and may be "
                "replaced by the caller's. The answer tells which further fact would put another family first."
            ),
            examples=EXAMPLES,
        ),
    )
    def select_family_(data: JSONBody[FamilySelectionRequest]) -> FamilySelectionAnswer:
        inputs = Inputs()
        outcome = select_family(_given(data, inputs), context.reference, keep_steps=data.working == "full")
        return FamilySelectionAnswer(
            result=_present(outcome.result, int(data.limit), PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [select_family_]


_IN_WORDS = ("shock", "abrasion", "dirt", "corrosion", "load", "lubrication", "noise", "attachments", "cost")
_YES_OR_NO = ("under_water", "reversing", "joint_renewal")


def _given(data: FamilySelectionRequest, inputs: Inputs) -> FamilySelectionInput:
    words = [Fact(name, getattr(data, name)) for name in (*_IN_WORDS, "take_apart", "wheel") if getattr(data, name)]
    answers = [(name, getattr(data, name)) for name in _YES_OR_NO]
    stated = [Fact(name, "yes" if said else "no") for name, said in answers if not isinstance(said, UnsetType)]
    return FamilySelectionInput(
        purpose=data.purpose or None,
        stated=(*words, *stated),
        speed_m_s=inputs.optional(data.speed, "/speed"),
        temperature_c=inputs.optional(data.temperature, "/temperature"),
        present=None
        if isinstance(data.present, UnsetType)
        else PresentFamily(data.present.family, data.present.trouble or None),
        overrides=tuple(
            RatingOverride(own.family, own.criterion, int(own.rating), own.reason or "") for own in data.ratings
        ),
    )


def _present(result: FamilySelectionResult, limit: int, presenter: Presenter) -> FamilySelection:
    return FamilySelection(
        families_left=len(result.ranked),
        ranked=[
            _ranked(score, rank, result.statements[score.family.id], presenter)
            for score, rank in zip(result.ranked[:limit], result.ranks[:limit], strict=True)
        ],
        left_out=[
            LeftOutFamily(family=score.family.id, name=score.family.name, reasons=_failures(score))
            for score in result.left_out
        ],
        would_change_first=[
            ChangingFact(
                fact=change.fact,
                level=change.level,
                first=change.first or UNSET,
                leaves_out_first=change.leaves_out_first,
            )
            for change in result.changes
        ],
        present=UNSET
        if result.present is None
        else PresentPlace(
            family=result.present.family,
            rank=UNSET if result.present.rank is None else result.present.rank,
            better_at_the_trouble=list(result.present.better),
        ),
    )


def _ranked(score: FamilyScore, rank: int, cautions: tuple[StatementRow, ...], presenter: Presenter) -> RankedFamily:
    return RankedFamily(
        rank=rank,
        family=score.family.id,
        name=score.family.name,
        suits_purpose=score.suits,
        points=presenter.number(score.total),
        greatest_points=presenter.number(score.greatest),
        terms=[_term(term, presenter) for term in score.terms],
        remarks=[
            SelectionRemark(fact=rule.fact, level=rule.level, sentence=rule.sentence, provenance=provenance(rule))
            for rule in score.rules
        ],
        cautions=[
            FamilyStatement(topic=row.topic, statement=row.statement, provenance=provenance(row)) for row in cautions
        ],
    )


def _term(term: Term, presenter: Presenter) -> SelectionTerm:
    return SelectionTerm(
        fact=term.asked.fact,
        level=term.asked.level,
        criterion=term.asked.criterion,
        weight=presenter.number(term.asked.weight),
        rating=term.rating,
        points=presenter.number(term.points),
        least=UNSET if term.asked.least is None else term.asked.least,
        origin="given" if term.row is None else "table",
        asks=term.asked.sentence,
        reason=term.reason,
        weight_provenance=provenance(term.asked),
        rating_provenance=UNSET if term.row is None else provenance(term.row),
    )


def _failures(score: FamilyScore) -> list[FailedDemand]:
    failed = [
        FailedDemand(
            fact=term.asked.fact,
            sentence=f"{term.asked.sentence} {term.reason}",
            criterion=term.asked.criterion,
            rating=term.rating,
            least=UNSET if term.asked.least is None else term.asked.least,
            origin="given" if term.row is None else "table",
        )
        for term in score.terms
        if term.fails
    ]
    failed += [
        FailedDemand(fact=rule.fact, sentence=rule.sentence) for rule in score.rules if rule.effect == "leave_out"
    ]
    if score.too_fast:
        failed.append(FailedDemand(fact="speed", sentence=score.too_fast))
    return failed


EXAMPLES = {
    "crusher_drive": Example(
        "The jaw crusher of the invented Lindholm plant: severe shock, dirt",
        {"purpose": "drive", "shock": "severe", "dirt": "dirty", "speed": {"value": 2, "unit": "m/s"}},
    ),
    "elevator_in_wet_ash": Example(
        "A bucket elevator whose pins rot in wet ash",
        {
            "purpose": "elevate",
            "corrosion": "severe",
            "abrasion": "severe",
            "present": {"family": "bushed_steel", "trouble": "rotted_pins"},
            "ratings": [{"family": "bushed_steel", "criterion": "corrosion", "rating": 2, "reason": "stainless pins"}],
        },
    ),
    "no_duty": Example("A question without a duty", {"load": "heavy"}, status=422),
}
