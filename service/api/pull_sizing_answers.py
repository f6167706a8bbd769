"""Engineering-class drives found by their chain pull, in the caller's units."""

from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.drawings import measure
from service.api.drive_fields import ScoreTerm, present_terms
from service.api.pull_drive_fields import PullDrive, present_pull
from service.api.quantities import Presenter
from service.calculations.pull_search import PullMiss, PullReason
from service.calculations.pull_sizing import PullSizingResult, RankedPull
from service.core.conversions import M_S_PER_FT_MIN

UNJUDGED_HINT = (
    "The tables hold no allowable load of these sizes: POST /v1/drive-checks judges one by the allowable_load of its "
    "maker, sent in own_chain."
)


class RankedPullDrive(msgspec.Struct, frozen=True, kw_only=True):
    """An engineering-class drive in the ranking of its own list; a lower score ranks better."""

    rank: int
    score: float
    score_terms: list[ScoreTerm]
    working_load_utilisation: Annotated[
        float, Meta(description="Pull with service factor and factor of speed and teeth, over the allowable load.")
    ]
    static_load_utilisation: Annotated[float, Meta(description="Pull with service factor alone, over the allowable.")]
    drive: PullDrive


class PullNearMiss(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A size that does not serve on any wheels that are allowed, and why."""

    chain: str
    small_teeth: Annotated[int, Meta(description="Of the small wheel on which it comes nearest.")] | UnsetType = UNSET
    reason: PullReason
    explanation: str


class PullRejected(msgspec.Struct, frozen=True, kw_only=True):
    """How many sizes fail for one reason."""

    reason: str
    count: int


class UnjudgedFamily(msgspec.Struct, frozen=True, kw_only=True):
    """How many sizes of a family have no allowable load in the tables."""

    family: str
    count: int


class EngineeringSizing(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Engineering-class drives in order of their score, one for each size, judged by their chain pull."""

    method: Literal["chain_pull"]
    service_factor: Annotated[float, Meta(description="Of the pull method, which has factors of its own.")]
    judged_count: Annotated[int, Meta(description="Sizes with an allowable load, on every pair of wheels allowed.")]
    feasible_count: Annotated[int, Meta(description="Sizes that serve on at least one pair of wheels.")]
    drives: list[RankedPullDrive]
    rejected: list[PullRejected]
    nearest_misses: list[PullNearMiss]
    without_allowable_load_count: Annotated[int, Meta(description="Sizes that could not be judged.")]
    without_allowable_load: list[UnjudgedFamily]
    hint: Annotated[str, Meta(description="How to judge a size without an allowable load.")] | UnsetType = UNSET


def present_pull_sizing(result: PullSizingResult, presenter: Presenter) -> EngineeringSizing:
    """The list in the caller's units."""
    unjudged = result.without_allowable_load
    return EngineeringSizing(
        method="chain_pull",
        service_factor=presenter.number(result.service_factor),
        judged_count=result.judged_count,
        feasible_count=result.feasible_count,
        drives=[_ranked(place, ranked, presenter) for place, ranked in enumerate(result.drives, start=1)],
        rejected=[PullRejected(reason=reason, count=count) for reason, count in result.rejected_counts.items()],
        nearest_misses=[_miss(miss, presenter) for miss in result.nearest_misses],
        without_allowable_load_count=sum(unjudged.values()),
        without_allowable_load=[UnjudgedFamily(family=family, count=count) for family, count in unjudged.items()],
        hint=UNJUDGED_HINT if unjudged else UNSET,
    )


def _ranked(place: int, ranked: RankedPull, presenter: Presenter) -> RankedPullDrive:
    number, option = presenter.number, ranked.option
    return RankedPullDrive(
        rank=place,
        score=number(ranked.score),
        score_terms=present_terms(ranked.terms, presenter),
        working_load_utilisation=number(option.needed_working_load_n / option.allowable_load_n),
        static_load_utilisation=number(option.static_load_n / option.allowable_load_n),
        drive=present_pull(option, presenter),
    )


_EXPLANATIONS = {
    "load_beyond_allowable": "on {teeth} teeth the chain must carry {actual}, its allowable load is {limit}",
    "speed_beyond_table": "on {teeth} teeth the chain runs at {actual}, the printed factors end at {limit}",
    "ratio_not_met": "no pair of wheels inside the table of factors meets the ratio within {limit:g} %",
    "wheel_too_large": "the pitch circle of a wheel would measure {actual}, {limit} are allowed",
    "centres_too_short": "the pitch circles on {teeth} teeth need {actual} between centres, {limit} are given",
    "no_even_solution": "the range of centres holds no whole even pitch count: {actual:.0f} is too long already",
}
_LENGTHS = frozenset({"wheel_too_large", "centres_too_short"})


def _miss(miss: PullMiss, presenter: Presenter) -> PullNearMiss:
    actual: float | str = miss.actual
    limit: float | str = miss.limit
    if miss.reason in _LENGTHS:
        actual, limit = (measure(presenter.length(value_mm)) for value_mm in (miss.actual, miss.limit))
    elif miss.reason == "load_beyond_allowable":
        actual, limit = (measure(presenter.force(value_n)) for value_n in (miss.actual, miss.limit))
    elif miss.reason == "speed_beyond_table":
        actual, limit = (measure(presenter.speed(M_S_PER_FT_MIN * value)) for value in (miss.actual, miss.limit))
    return PullNearMiss(
        chain=miss.chain.size.designation,
        small_teeth=miss.teeth or UNSET,
        reason=miss.reason,
        explanation=_EXPLANATIONS[miss.reason].format(teeth=miss.teeth, actual=actual, limit=limit),
    )
