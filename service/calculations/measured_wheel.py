"""Sizes measured on a wheel or a chain: worn dimensions, and the number of teeth that comes nearest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.trace import Check
from service.core.sprocket import MOST_TEETH
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from service.calculations.trace import Trace

WEAR_SHARE = 0.05
"""A pitch up to this share above a standard one, or a roller below it, may have been taken from a worn part; it is
the usual limit of 3 % elongation with some margin (practice)."""

SAME_SHARE = 0.002
"""Within this share a dimension counts as the standard one, rounded (practice)."""


class MeasuredWheel(Record, frozen=True, kw_only=True):
    """A size measured on a wheel: how far it is from the computed one, and which number of teeth comes nearest."""

    measured_mm: float
    difference_mm: float
    nearest_teeth: int
    nearest_mm: float


def worn_from(standards: Iterable[float], value: float, *, longer: bool) -> float | None:
    """The standard dimension that a value may have worn from, or None where it is a standard one or far from any."""
    shares = [(((value - standard) if longer else (standard - value)) / standard, standard) for standard in standards]
    if any(abs(share) <= SAME_SHARE for share, _ in shares):
        return None
    worn = [(share, standard) for share, standard in shares if 0 < share <= WEAR_SHARE]
    return min(worn)[1] if worn else None


def warn_of_worn_pitch(trace: Trace, standards: Iterable[float], pitch_mm: float, field: str) -> None:
    """Tell of a pitch that looks like that of worn chain."""
    standard = worn_from(standards, pitch_mm, longer=True)
    if standard is not None:
        message = f"A pitch of {pitch_mm:g} mm looks like a worn {standard:g} mm; wheels are made to the nominal."
        trace.warn("worn_dimension", message, field=field)


def nearest_teeth(size_of: Callable[[int], float], measured_mm: float, guess: int, fewest: int) -> tuple[int, float]:
    """Number of teeth whose size is nearest to a measured one, looked for about a guess, and that size."""
    lowest = min(max(guess - 2, fewest), MOST_TEETH)
    sizes = [(teeth, size_of(teeth)) for teeth in range(lowest, min(max(guess + 3, fewest + 1), MOST_TEETH + 1))]
    return min(sizes or [(lowest, size_of(lowest))], key=lambda size: abs(size[1] - measured_mm))


def compare_measured(
    trace: Trace,
    *,
    field: str,
    measured_mm: float,
    computed_mm: float,
    minus_tolerance_mm: float | None,
    teeth: int,
    nearest: tuple[int, float],
    below: str,
) -> MeasuredWheel:
    """A measured size against the computed one, whose tolerance is minus, or not known; ``below`` explains less."""
    name = field.removesuffix("_mm")
    fits = trace.check(Check(f"{name}_greatest", measured_mm, computed_mm, "length"))
    size = f"the {computed_mm:.2f} mm"
    if minus_tolerance_mm is not None:
        least = computed_mm - minus_tolerance_mm
        fits &= trace.check(Check(f"{name}_least", measured_mm, least, "length", "at_least"))
        size = f"the {least:.2f} to {computed_mm:.2f} mm"
    if not fits or nearest[0] != teeth:
        if measured_mm > computed_mm:
            told = f"more than {size} of {teeth} teeth, and wear makes none larger: another wheel, or dirt in the gaps."
        else:
            told = f"less than {size} of {teeth} teeth: worn, or another wheel."
        trace.warn(
            "worn_or_wrong_teeth",
            f"{measured_mm:g} mm is {told} Of this chain {nearest[0]} teeth come nearest, with {nearest[1]:.2f} mm.",
            field=field,
        )
    elif minus_tolerance_mm is None and measured_mm < computed_mm * (1 - 1e-9):
        trace.warn(
            "worn_or_wrong_teeth",
            f"{measured_mm:g} mm is {computed_mm - measured_mm:.3g} mm less than computed; no tolerance of such wheels "
            f"is in the reference data. {below}",
            severity="info",
            field=field,
        )
    return MeasuredWheel(
        measured_mm=measured_mm,
        difference_mm=measured_mm - computed_mm,
        nearest_teeth=nearest[0],
        nearest_mm=nearest[1],
    )
