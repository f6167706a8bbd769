"""Check of a chain against its three strengths: what a peak and a repeated tension leave of each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.trace import Check, Outcome, Trace
from service.core.chain_pull_drive import joint_pressure
from service.core.errors import Inconsistent, Issue
from service.core.forces import breaking_safety
from service.core.number_text import significant
from service.core.strength import Governing, governing, margin_to_yield, pulsating_equivalent, yield_load
from service.reference.records import Record

if TYPE_CHECKING:
    from service.reference.chains import ChainSize
    from service.reference.loader import Table
    from service.reference.strength_rules import FractionOfUltimate, StrengthFractionRow

_FRACTION_FAMILY = {"roller": "roller", "double_pitch_roller": "roller", "conveyor": "conveyor"}
"""Which row of fractions a family of chain is read from; the rest have none."""
_LIFTING_FAMILIES = ("leaf", "round_link", "hoist_roller")
"""Families that mostly lift, so that the cautions of lifting go with their figures."""


class StrengthCheckInput(Record, frozen=True, kw_only=True):
    """A chain, its greatest tension, and what is known of the repeated tension and of the caller's rules."""

    chain: ChainSize
    strand_count: int
    peak_tension_n: float
    working_tension_n: float | None = None
    least_tension_n: float | None = None
    minimum_static_factor: float | None = None
    yield_fraction: float | None = None
    fatigue_limit_n: float | None = None
    bearing_length_mm: float | None = None
    estimate_unpublished: bool = False

    @property
    def chain_name(self) -> str:
        """Designation with its strands, as one orders it."""
        strands = f"-{self.strand_count}" if self.strand_count > 1 else ""
        return f"{self.chain.designation}{strands}"


class StrengthCheckResult(Record, frozen=True, kw_only=True):
    """Each strength with what is used of it; None where it is unknown."""

    minimum_tensile_strength_n: float
    static_factor: float
    yield_load_n: float | None
    margin_to_yield: float | None
    fatigue_limit_n: float | None
    pulsating_equivalent_n: float | None
    joint_pressure_n_mm2: float | None
    governing: Governing


def strength_check(
    given: StrengthCheckInput, fractions: Table[StrengthFractionRow], *, keep_steps: bool = False
) -> Outcome[StrengthCheckResult]:
    """Utilisation of ultimate, yield and fatigue strength, and which is reached first.

    Raises:
        NotInReference: the tables hold no tensile strength of the chain.
        Inconsistent: the peak lies below the working tension, a cycle is reversed or reaches the ultimate.
    """
    trace = Trace(keep_steps=keep_steps)
    _check_given(given)
    ultimate = _ultimate(given, trace)
    factor = trace.take(breaking_safety, breaking_load_n=ultimate, tension_n=given.peak_tension_n, service_factor=1.0)
    if given.minimum_static_factor is not None:
        trace.check(Check("static_factor", factor, given.minimum_static_factor, sense="at_least"))
    if not trace.check(Check("peak_below_tensile_strength", given.peak_tension_n, ultimate, "force")):
        trace.warn(
            "peak_above_ultimate",
            f"A peak of {significant(given.peak_tension_n)} N breaks {given.chain_name}, whose minimum tensile strength"
            f" is {significant(ultimate)} N.",
            severity="danger",
            field="peak_tension",
        )
    yielding = _yield(given, ultimate, fractions, trace)
    margin = None
    if yielding is not None:
        margin = trace.take(margin_to_yield, yield_load_n=yielding, peak_tension_n=given.peak_tension_n)
        trace.check(Check("peak_below_yield", given.peak_tension_n, yielding, "force"))
    limit, equivalent = _fatigue(given, ultimate, fractions, trace)
    first = trace.take(
        governing,
        fatigue_utilisation=None if limit is None or equivalent is None else equivalent / limit,
        yield_utilisation=None if yielding is None else given.peak_tension_n / yielding,
        ultimate_utilisation=(given.minimum_static_factor or 1.0) / factor,
    )
    if given.chain.row.family in _LIFTING_FAMILIES:
        trace.caution("overhead_lifting", "competent_person", "hoist_maker_first")
    trace.caution("breaking_load_is_not_a_working_load", "local_codes")
    return Outcome(
        StrengthCheckResult(
            minimum_tensile_strength_n=ultimate,
            static_factor=factor,
            yield_load_n=yielding,
            margin_to_yield=margin,
            fatigue_limit_n=limit,
            pulsating_equivalent_n=equivalent,
            joint_pressure_n_mm2=_pressure(given, trace),
            governing=first,
        ),
        trace,
    )


def _ultimate(given: StrengthCheckInput, trace: Trace) -> float:
    """Minimum tensile strength; of welded chain the breaking force, which is its name there."""
    chain = given.chain
    if chain.find("minimum_tensile_strength", given.strand_count) is None and chain.find("breaking_force") is not None:
        return trace.figure(chain, "breaking_force")
    return trace.figure(chain, "minimum_tensile_strength", given.strand_count)


def _check_given(given: StrengthCheckInput) -> None:
    working = given.working_tension_n
    if working is not None and given.peak_tension_n < working:
        message = f"The peak of {given.peak_tension_n:g} N lies below the working tension of {working:g} N."
        raise Inconsistent(
            Issue("peak_tension_n", "peak_below_working", message, working, given.peak_tension_n, "Exchange the two.")
        )


def _yield(
    given: StrengthCheckInput, ultimate: float, fractions: Table[StrengthFractionRow], trace: Trace
) -> float | None:
    """Yield load by the caller's fraction, or estimated by that of the family where the caller asks for it."""
    fraction = given.yield_fraction
    if fraction is None:
        fraction = _estimated(given, "yield_over_ultimate", "yield_fraction", fractions, trace)
    if fraction is None:
        _tell_unknown(given, "yield_unknown", "No yield strength", "yield_fraction", trace)
        return None
    return trace.take(yield_load, minimum_tensile_strength_n=ultimate, yield_fraction=fraction)


def _estimated(
    given: StrengthCheckInput,
    quantity: FractionOfUltimate,
    field: str,
    fractions: Table[StrengthFractionRow],
    trace: Trace,
) -> float | None:
    """Lower end of the fraction that is usual for the family; None unless it was asked for and stands in print."""
    family = _FRACTION_FAMILY.get(given.chain.row.family)
    if not given.estimate_unpublished or given.chain.row.series == "own":
        return None
    rows = sorted(
        (row for row in fractions.rows if (row.family, row.quantity) == (family, quantity)), key=fractions.preference
    )
    if not rows:
        return None
    best, *others = rows
    what = quantity.replace("_over_", " over ")
    trace.row(best, f"estimate of {what}")
    also = "".join(f"; {row.fraction_min:g} to {row.fraction_max:g} after {row.source_id}" for row in others)
    trace.warn(
        "strength_estimated",
        f"Nothing is published of {given.chain_name}: {what} was estimated as {best.fraction_min:g} after"
        f" {best.source_id}{also}. It is no guaranteed minimum.",
        field=field,
    )
    trace.assume(field, best.fraction_min, "table", f"estimate of {what} asked for")
    return best.fraction_min


def _tell_unknown(given: StrengthCheckInput, code: str, what: str, field: str, trace: Trace) -> None:
    asked = " No usual fraction of its family is in print." if given.estimate_unpublished else ""
    more = "" if given.estimate_unpublished else ", or ask for an estimate by estimate_unpublished"
    trace.warn(
        code,
        f"{what} of {given.chain_name} is published here.{asked} Enter {field} if you have it{more}.",
        severity="info",
        field=field,
    )


def _fatigue(
    given: StrengthCheckInput, ultimate: float, fractions: Table[StrengthFractionRow], trace: Trace
) -> tuple[float | None, float | None]:
    """Fatigue limit and equivalent pulsating tension, as far as they are known."""
    limit = given.fatigue_limit_n
    if limit is None and given.chain.find("minimum_dynamic_strength", given.strand_count) is not None:
        limit = trace.figure(given.chain, "minimum_dynamic_strength", given.strand_count)
    if given.working_tension_n is None:
        trace.warn("working_tension_missing", "Fatigue was not judged: no working tension was sent.", severity="info")
        return limit, None
    least = given.least_tension_n
    if least is None:
        least = 0.0
        trace.assume("least_tension", 0.0, "default", "N; the chain is taken to go slack once in each lap")
    equivalent = trace.take(
        pulsating_equivalent,
        greatest_tension_n=given.working_tension_n,
        least_tension_n=least,
        minimum_tensile_strength_n=ultimate,
    )
    if limit is None:
        fraction = _estimated(given, "fatigue_over_ultimate", "fatigue_limit", fractions, trace)
        limit = None if fraction is None else fraction * ultimate
    if limit is None:
        _tell_unknown(given, "fatigue_limit_unknown", "No dynamic strength", "fatigue_limit", trace)
    else:
        trace.check(Check("fatigue", equivalent, limit, "force", note="pulsating from zero"))
    return limit, equivalent


def _pressure(given: StrengthCheckInput, trace: Trace) -> float | None:
    """Joint pressure at the working tension, where pin and bearing length are known; no published limit is held."""
    length = given.bearing_length_mm
    if length is None and given.chain.find("bearing_length") is not None:
        length = trace.figure(given.chain, "bearing_length")
    if length is None or given.working_tension_n is None or given.chain.find("pin_diameter") is None:
        return None
    pin = trace.figure(given.chain, "pin_diameter")
    return trace.take(
        joint_pressure,
        tension_n=given.working_tension_n / given.strand_count,
        pin_diameter_mm=pin,
        bush_length_mm=length,
    )
