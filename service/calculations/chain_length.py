"""Chain length over two wheels: whole pitches from a centre distance, or the centre distance from whole pitches."""

from __future__ import annotations

from functools import cached_property
from math import ceil, degrees, floor, sqrt
from typing import TYPE_CHECKING, Literal

from service.calculations.centres import overlap_issues, touching_issue
from service.calculations.chain_slack import Slack, SlackInput, TightChain, slack_of
from service.calculations.trace import Outcome, Trace
from service.core.chain_length import (
    centre_distance_approximate,
    centre_distance_exact,
    pitches_approximate,
    pitches_exact,
    touching_centre_distance,
)
from service.core.conversions import MM_PER_INCH
from service.core.errors import Inconsistent, Issue, MoreNeeded, NoSolution, OutOfRange
from service.core.sprocket import pitch_diameter
from service.core.sprocket_asme import outside_diameter
from service.core.wrap import teeth_engaged, wrap_large_rad, wrap_small_rad
from service.reference.records import Record, field

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.reference.chains import ChainSize

Rounding = Literal["nearest", "up", "down"]

LONG_CENTRES_PITCHES = 80
"""Above this many pitches guides or idlers are usual (table ``tooth_recommendations``)."""

LEAST_WRAP_DEG = 120.0
"""Usual least wrap of the small wheel (mott-4, section 7-4, p. 295)."""

LEAST_TEETH_ENGAGED = 3.0
"""Fewest teeth that share the pull, common practice."""


class ChainLengthInput(Record, frozen=True, kw_only=True):
    """Two wheels of one chain, and either a centre distance, a range of it, or a pitch count."""

    chain: ChainSize
    driver_teeth: int
    driven_teeth: int
    centre_distance_mm: float | None = None
    minimum_centre_distance_mm: float | None = None
    maximum_centre_distance_mm: float | None = None
    pitch_count: int | None = None
    rounding: Rounding = "nearest"
    offset_link_allowed: bool = False
    slack: SlackInput = field(default_factory=SlackInput)
    sent_in_inches: bool = False


class Fit(Record, frozen=True, kw_only=True):
    """A whole number of pitches and the centre distance that it gives."""

    pitch_count: int
    centre_distance_mm: float
    offset_link: bool


class ChainLengthResult(Record, frozen=True, kw_only=True):
    """The chosen chain and its neighbours; lengths before rounding only where a centre distance was given."""

    pitch_mm: float
    length_exact_pitches: float | None
    length_approximate_pitches: float | None
    pitch_count: int
    offset_link: bool
    chain_length_mm: float
    centre_distance_mm: float
    centre_distance_approximate_mm: float
    span_mm: float
    wrap_small_deg: float
    wrap_large_deg: float
    teeth_engaged: float
    slack: Slack | None
    alternatives: tuple[Fit, ...]


def chain_length(given: ChainLengthInput, *, keep_steps: bool = False) -> Outcome[ChainLengthResult]:
    """Length and centres of a two-wheel drive.

    Raises:
        Inconsistent: more than one of centre distance, range and pitch count was given, or a range is reversed.
        MoreNeeded: none of them was given.
        OutOfRange: the wheels overlap.
        NoSolution: the chain is too short, or the range holds no whole even count.
    """
    trace = Trace(keep_steps=keep_steps)
    _check_given(given)
    small, large = sorted((given.driver_teeth, given.driven_teeth))
    pitch_mm = trace.figure(given.chain, "pitch")
    wheels = _Wheels(pitch_mm, small, large, trace)
    exact = approximate = None
    if given.pitch_count is not None:
        pitch_count = given.pitch_count
    elif given.centre_distance_mm is not None:
        centres = wheels.check_centres(given.centre_distance_mm, "centre_distance_mm")
        exact = trace.take(pitches_exact, centre_distance_pitches=centres, teeth_small=small, teeth_large=large)
        approximate = trace.take(
            pitches_approximate, centre_distance_pitches=centres, teeth_small=small, teeth_large=large
        )
        pitch_count = _whole(exact, given.rounding, 1 if given.offset_link_allowed else 2)
    else:
        pitch_count = _in_range(given, wheels)
    fit = wheels.fit(pitch_count)
    centre_approximate = trace.take(
        centre_distance_approximate, pitch_count=pitch_count, teeth_small=small, teeth_large=large
    )
    mesh = wheels.mesh(fit)
    difference_mm = wheels.radius_difference_mm()
    slack = slack_of(
        given.slack,
        TightChain(
            pitch_mm=pitch_mm,
            pitch_count=pitch_count,
            teeth_small=small,
            teeth_large=large,
            radius_difference_mm=difference_mm,
            centre_distance_mm=fit.centre_distance_mm,
        ),
        trace,
    )
    _warn(trace, fit, pitch_mm, sent_in_inches=given.sent_in_inches)
    _warn_mesh(trace, mesh)
    trace.caution("isolate_and_lock_off", "guard_the_drive")
    return Outcome(
        ChainLengthResult(
            pitch_mm=pitch_mm,
            length_exact_pitches=exact,
            length_approximate_pitches=approximate,
            pitch_count=pitch_count,
            offset_link=fit.offset_link,
            chain_length_mm=pitch_count * pitch_mm,
            centre_distance_mm=fit.centre_distance_mm,
            centre_distance_approximate_mm=centre_approximate * pitch_mm,
            span_mm=sqrt(fit.centre_distance_mm**2 - difference_mm**2),
            wrap_small_deg=degrees(mesh.wrap_small_rad),
            wrap_large_deg=degrees(mesh.wrap_large_rad),
            teeth_engaged=mesh.teeth_engaged,
            slack=slack,
            alternatives=tuple(wheels.neighbours(pitch_count)),
        ),
        trace,
    )


class Mesh(Record, frozen=True):
    """How the chain lies round both wheels."""

    wrap_small_rad: float
    wrap_large_rad: float
    teeth_engaged: float


class _Wheels(Record, frozen=True, dict=True):
    """The two wheels of one calculation; what depends on them alone is evaluated once."""

    pitch_mm: float
    small: int
    large: int
    trace: Trace

    def check_centres(self, centre_distance_mm: float, field: str) -> float:
        """Centre distance in pitches, refused where the pitch circles overlap."""
        if centre_distance_mm <= self.touching_mm:
            raise OutOfRange(*overlap_issues(field, centre_distance_mm, self.touching_mm))
        small_mm, large_mm = self.outsides_mm
        if centre_distance_mm <= (small_mm + large_mm) / 2:
            raise OutOfRange(touching_issue(field, centre_distance_mm, small_mm, large_mm))
        return centre_distance_mm / self.pitch_mm

    @cached_property
    def touching_mm(self) -> float:
        """Centre distance at which the pitch circles touch."""
        touching = self.trace.take(touching_centre_distance, teeth_small=self.small, teeth_large=self.large)
        return touching * self.pitch_mm

    @cached_property
    def outsides_mm(self) -> tuple[float, float]:
        """Outside diameters of the small and the large wheel by the usual rule."""
        pitch_in = self.pitch_mm / MM_PER_INCH
        small = self.trace.take(outside_diameter, pitch_in=pitch_in, teeth=self.small)
        large = self.trace.take(outside_diameter, pitch_in=pitch_in, teeth=self.large)
        return small * MM_PER_INCH, large * MM_PER_INCH

    @cached_property
    def pitch_diameters_mm(self) -> tuple[float, float]:
        """Pitch diameters of the small and the large wheel."""
        small = self.trace.take(pitch_diameter, pitch_mm=self.pitch_mm, teeth=self.small)
        large = self.trace.take(pitch_diameter, pitch_mm=self.pitch_mm, teeth=self.large)
        return small, large

    def radius_difference_mm(self) -> float:
        """Large less small pitch radius."""
        small_mm, large_mm = self.pitch_diameters_mm
        return (large_mm - small_mm) / 2

    def mesh(self, fit: Fit) -> Mesh:
        """Wrap of both wheels and teeth in the chain."""
        small_mm, large_mm = self.pitch_diameters_mm
        wrap_small = self.trace.take(
            wrap_small_rad,
            pitch_diameter_small_mm=small_mm,
            pitch_diameter_large_mm=large_mm,
            centre_distance_mm=fit.centre_distance_mm,
        )
        wrap_large = self.trace.take(
            wrap_large_rad,
            pitch_diameter_small_mm=small_mm,
            pitch_diameter_large_mm=large_mm,
            centre_distance_mm=fit.centre_distance_mm,
        )
        engaged = self.trace.take(teeth_engaged, wrap_rad=wrap_small, teeth=self.small)
        return Mesh(wrap_small, wrap_large, engaged)

    def fit(self, pitch_count: int) -> Fit:
        """The centre distance of a pitch count, refused where the wheels would overlap."""
        centres = self.trace.take(
            centre_distance_exact, pitch_count=pitch_count, teeth_small=self.small, teeth_large=self.large
        )
        centre_distance_mm = centres * self.pitch_mm
        try:
            self.check_centres(centre_distance_mm, "pitch_count")
        except OutOfRange as overlap:
            least = self.least_count()
            raise NoSolution(
                Issue(
                    "pitch_count",
                    "chain_too_short",
                    f"{pitch_count} pitches bring the wheels of {self.small} and {self.large} teeth into each other; "
                    f"at least {least} pitches are needed.",
                    least,
                    pitch_count,
                )
            ) from overlap
        return Fit(pitch_count=pitch_count, centre_distance_mm=centre_distance_mm, offset_link=pitch_count % 2 == 1)

    def least_count(self) -> int:
        """Smallest whole even count at which the pitch circles clear each other."""
        touching = touching_centre_distance(teeth_small=self.small, teeth_large=self.large)
        length = pitches_exact(centre_distance_pitches=touching, teeth_small=self.small, teeth_large=self.large)
        return 2 * (floor(length / 2) + 1)

    def neighbours(self, pitch_count: int) -> Iterable[Fit]:
        """The next even counts below and above, where they exist."""
        below = pitch_count - (1 if pitch_count % 2 else 2)
        for count in (below, pitch_count + (1 if pitch_count % 2 else 2)):
            try:
                yield self.fit(count)
            except NoSolution:
                continue


def _check_given(given: ChainLengthInput) -> None:
    bounds = (given.minimum_centre_distance_mm, given.maximum_centre_distance_mm)
    ways = [given.centre_distance_mm is not None, any(bound is not None for bound in bounds)]
    ways.append(given.pitch_count is not None)
    names = "centre_distance, the range minimum_centre_distance to maximum_centre_distance, or pitch_count"
    if sum(ways) == 0:
        raise MoreNeeded(Issue("", "field_required", f"Send one of {names}."))
    if sum(ways) > 1:
        raise Inconsistent(Issue("", "over_determined", f"Send only one of {names}: they determine each other."))
    if any(bound is not None for bound in bounds):
        low, high = bounds
        if low is None or high is None:
            missing = "minimum_centre_distance_mm" if low is None else "maximum_centre_distance_mm"
            raise MoreNeeded(Issue(missing, "field_required", "A range of centre distances needs both ends."))
        if low > high:
            raise Inconsistent(
                Issue(
                    "minimum_centre_distance_mm",
                    "range_reversed",
                    f"The smallest centre distance ({low:g} mm) lies above the largest ({high:g} mm).",
                    high,
                    low,
                    "Exchange the two.",
                )
            )


def _whole(length: float, rounding: Rounding, unit: int) -> int:
    share = length / unit
    if rounding == "up":
        return unit * ceil(share - 1e-9)
    if rounding == "down":
        return unit * floor(share + 1e-9)
    return unit * floor(share + 0.5)


def _in_range(given: ChainLengthInput, wheels: _Wheels) -> int:
    """The whole count nearest to the middle of a range of centre distances."""
    low_mm, high_mm = given.minimum_centre_distance_mm or 0.0, given.maximum_centre_distance_mm or 0.0
    low = wheels.check_centres(low_mm, "minimum_centre_distance_mm")
    high = wheels.check_centres(high_mm, "maximum_centre_distance_mm")
    lengths = [
        wheels.trace.take(pitches_exact, centre_distance_pitches=c, teeth_small=wheels.small, teeth_large=wheels.large)
        for c in (low, high)
    ]
    unit = 1 if given.offset_link_allowed else 2
    first, last = _whole(lengths[0], "up", unit), _whole(lengths[1], "down", unit)
    if first > last:
        near = [wheels.fit(count) for count in (last, first)]
        named = " and ".join(f"{fit.pitch_count} pitches at {fit.centre_distance_mm:.2f} mm" for fit in near)
        raise NoSolution(
            Issue(
                "minimum_centre_distance_mm",
                "no_even_solution",
                f"No {'whole' if unit == 1 else 'even'} pitch count lies between {low_mm:g} and {high_mm:g} mm.",
                None,
                None,
                f"Nearest: {named}.",
            )
        )
    middle = _whole((lengths[0] + lengths[1]) / 2, "nearest", unit)
    return min(max(middle, first), last)


def _warn_mesh(trace: Trace, mesh: Mesh) -> None:
    wrap = degrees(mesh.wrap_small_rad)
    if wrap < LEAST_WRAP_DEG:
        trace.warn(
            "wrap_small",
            f"The chain wraps {wrap:.0f} degrees of the small wheel; {LEAST_WRAP_DEG:g} are the usual least: lengthen "
            "the centres or set an idler.",
            field="centre_distance_mm",
        )
    if mesh.teeth_engaged < LEAST_TEETH_ENGAGED:
        trace.warn(
            "teeth_engaged_few",
            f"Only {mesh.teeth_engaged:.1f} teeth of the small wheel are in the chain at a time.",
            field="centre_distance_mm",
        )


def _warn(trace: Trace, fit: Fit, pitch_mm: float, *, sent_in_inches: bool) -> None:
    if fit.offset_link:
        trace.warn(
            "odd_pitch_count",
            f"{fit.pitch_count} pitches are an odd number: an offset link is needed, which lowers the capacity of the "
            "chain; the even neighbours are in alternatives.",
            field="pitch_count",
        )
    if fit.centre_distance_mm > LONG_CENTRES_PITCHES * pitch_mm:
        trace.warn(
            "centres_long",
            f"The centre distance is {fit.centre_distance_mm / pitch_mm:.0f} pitches; above "
            f"{LONG_CENTRES_PITCHES} guides or idlers are usual.",
            field="centre_distance_mm",
        )
        if sent_in_inches and fit.centre_distance_mm / MM_PER_INCH <= LONG_CENTRES_PITCHES * pitch_mm:
            trace.warn(
                "unit_suspect",
                f"{fit.centre_distance_mm / MM_PER_INCH:.0f} mm, the same number if inches were meant as millimetres, "
                "would be a usual centre distance: is the unit right?",
                severity="info",
                field="centre_distance_mm",
            )
