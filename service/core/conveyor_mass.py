"""Tensions of a conveyor as a function of the mass of its chain, so that each candidate costs a few sums.

A run adds a tension that grows in proportion to the mass on it. Every tension of a path is therefore a straight line
of the chain mass, or the greatest of several where the start tension is itself set by the point that goes slack first.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, NamedTuple

from service.core.conveyor_pull import lines_along_path
from service.core.equations import Source, equation
from service.core.errors import Issue, NoSolution
from service.core.guards import at_least, at_most, not_negative

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from service.core.conveyor_pull import Section

_GEOMETRY = "plane-geometry"


class Line(NamedTuple):
    """A tension as a straight line of the chain mass per length: ``slope`` in N m/kg, ``offset`` in N."""

    slope: float
    offset: float


Envelope = tuple[Line, ...]
"""Lines with rising slope of which the greatest counts."""


class StartRule(NamedTuple):
    """What sets the tension on the slack side of the drive.

    A take-up sets it by the tension that it holds at its point (0 is the start, k follows section k). Without one the
    start tension is the least that keeps ``slack_tension_n`` at the drive and ``least_tension_n`` everywhere.
    """

    least_tension_n: float
    slack_tension_n: float
    take_up_tension_n: float | None = None
    take_up_point: int = 0


class MassEnvelopes(NamedTuple):
    """Tensions of one state of a conveyor by its chain mass.

    Attributes:
        start: Tension on the slack side of the drive.
        greatest: Greatest tension on the path.
        effective_pull: Tight less slack tension.
        least_negated: Under a take-up the least tension with its sign turned, so that the greatest of its lines
            counts; without one it is empty, since the rule of the start tension holds the least tension.
    """

    start: Envelope
    greatest: Envelope
    effective_pull: Envelope
    least_negated: Envelope


@equation(
    "conveyor_mass.upper_envelope",
    symbol="E",
    unit="object",
    sources=(Source(_GEOMETRY, "upper hull of straight lines over zero and more", "derived"),),
)
def upper_envelope(*, lines: Iterable[Line]) -> Envelope:
    """Those of several straight lines that are greatest somewhere at a mass of zero or more.

    Equation:
        E(w) = max over i of (a_i w + b_i), w >= 0

    Args:
        lines: Lines with slope a_i and offset b_i, [object].

    Returns:
        The lines that count, slopes rising, [object].

    Raises:
        Nothing.

    Validity: exact; of equal slopes the higher line counts.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> upper_envelope(lines=[Line(0, 5), Line(1, 0), Line(0.1, 1)])
        (Line(slope=0, offset=5), Line(slope=1, offset=0))
    """
    hull: list[Line] = []
    for line in sorted(set(lines)):
        # Steeper and no lower at zero mass: it is above from there on.
        while hull and hull[-1].offset <= line.offset:
            hull.pop()
        while len(hull) > 1 and _meeting(hull[-2], line) <= _meeting(hull[-2], hull[-1]):
            hull.pop()
        hull.append(line)
    return tuple(hull)


def _meeting(flatter: Line, steeper: Line) -> float:
    """Mass at which two lines of different slope meet."""
    return (flatter.offset - steeper.offset) / (steeper.slope - flatter.slope)


@equation(
    "conveyor_mass.tension_at_mass",
    symbol="T",
    unit="N",
    sources=(Source(_GEOMETRY, "greatest of straight lines of the chain mass", "derived"),),
)
def tension_at_mass(*, envelope: Envelope, chain_mass_kg_m: float) -> float:
    """Tension at a chain mass.

    Equation:
        T = max over i of (a_i w + b_i)

    Args:
        envelope: Lines of the tension, [object].
        chain_mass_kg_m: Mass of all chains of the conveyor together w, [kg/m]; w >= 0.

    Returns:
        Tension T, [N].

    Raises:
        OutOfRange: the mass is negative or not finite.

    Validity: as for ``conveyor_mass.tension_envelopes``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> tension_at_mass(envelope=(Line(2.0, 100.0),), chain_mass_kg_m=10)
        120.0
    """
    if not 0.0 <= chain_mass_kg_m < inf:
        not_negative("chain_mass_kg_m", chain_mass_kg_m)
    return max([slope * chain_mass_kg_m + offset for slope, offset in envelope])


@equation(
    "conveyor_mass.greatest_mass",
    symbol="w",
    unit="kg/m",
    sources=(Source(_GEOMETRY, "where the greatest of straight lines meets a limit", "derived"),),
)
def greatest_mass(*, envelope: Envelope, limit_n: float) -> float:
    """Greatest chain mass at which a tension stays within a limit.

    Equation:
        w = min over a_i > 0 of (T_limit - b_i)/a_i

    Args:
        envelope: Lines of the tension, [object].
        limit_n: Greatest allowed tension T_limit, [N].

    Returns:
        Mass of all chains together w, [kg/m]; infinite where the tension does not grow with the mass.

    Raises:
        NoSolution: code ``tension_above_limit``; no chain mass keeps the limit.

    Validity: as for ``conveyor_mass.tension_envelopes``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> greatest_mass(envelope=(Line(0.0, 50.0), Line(2.0, 40.0)), limit_n=100)
        30.0
    """
    highest = min([(limit_n - line.offset) / line.slope for line in envelope if line.slope > 0], default=inf)
    lowest = max([(limit_n - line.offset) / line.slope for line in envelope if line.slope < 0], default=0.0)
    level = max([line.offset for line in envelope if line.slope == 0], default=-inf)
    if highest < max(lowest, 0.0) or level > limit_n:
        message = f"No chain mass keeps the tension within {limit_n:g} N."
        raise NoSolution(Issue("limit_n", "tension_above_limit", message, None, limit_n))
    return highest


@equation(
    "conveyor_mass.tension_envelopes",
    symbol="T",
    unit="object",
    sources=(Source(_GEOMETRY, "tension of each point as a plane of start tension and chain mass", "derived"),),
)
def tension_envelopes(*, bare: Sequence[Section], chain_alone: Sequence[Section], start: StartRule) -> MassEnvelopes:
    """Start tension, greatest and least tension and effective pull of a path by the mass of its chain.

    Equation:
        T(i) = A(i) T0 + B(i) + C(i) w;  T0 = (T_take-up - B(k) - C(k) w)/A(k), or without a take-up
        T0 = max[T_slack, max over i of (T_least - B(i) - C(i) w)/A(i)]

    Args:
        bare: Runs, turns and lumps with load and moving parts but without the chain, [object].
        chain_alone: The same path with a chain of 1 kg/m and nothing else, lumps of no force, [object].
        start: What sets the tension on the slack side of the drive, [object].

    Returns:
        The tensions as envelopes over the chain mass w, [object].

    Raises:
        OutOfRange: a section refuses its values, a tension of the rule is negative, or the take-up is not on the path.

    Validity: friction and load that do not depend on the chain; runs as in ``conveyor_pull.run_tension_change``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> from service.core.conveyor_pull import Lump, Turn
        >>> parts = [Turn(tension_ratio=1.05), Lump(force_n=50)]
        >>> rule = StartRule(least_tension_n=0, slack_tension_n=100)
        >>> empty = [Turn(tension_ratio=1.05), Lump(force_n=0)]
        >>> tension_envelopes(bare=parts, chain_alone=empty, start=rule).greatest
        (Line(slope=0.0, offset=155.0),)
    """
    points = _planes(bare, chain_alone)
    opening = _start_lines(points, start)
    last_ratio, last = points[-1]
    pull = [
        Line((last_ratio - 1) * t0.slope + last.slope, (last_ratio - 1) * t0.offset + last.offset) for t0 in opening
    ]
    return MassEnvelopes(
        start=opening,
        greatest=_greatest(points, opening),
        effective_pull=upper_envelope(lines=pull),
        least_negated=_negated(points, opening[0]) if start.take_up_tension_n is not None else (),
    )


def _greatest(points: Sequence[tuple[float, Line]], opening: Envelope) -> Envelope:
    """Upper envelope of A(i) T0 + B(i) + C(i) w over all points, in proportion to the points and not to their square.

    Points between two turns have one ratio A, and the greatest of A T0 + (a line) is A T0 plus the greatest line.
    """
    by_ratio: dict[float, list[Line]] = {}
    for ratio, line in points:
        by_ratio.setdefault(ratio, []).append(line)
    lines: list[Line] = []
    for ratio, of_points in by_ratio.items():
        # Slopes that differ in their last digit may be one when they are scaled.
        scaled = upper_envelope(lines=[Line(ratio * t0.slope, ratio * t0.offset) for t0 in opening])
        lines += _sum(scaled, upper_envelope(lines=of_points))
    return upper_envelope(lines=lines)


def _sum(first: Envelope, second: Envelope) -> list[Line]:
    """Lines of the sum of two envelopes: one after the other takes its next line where that begins to count."""
    left = right = 0
    summed = [Line(first[0].slope + second[0].slope, first[0].offset + second[0].offset)]
    while left + 1 < len(first) or right + 1 < len(second):
        next_left = _meeting(first[left], first[left + 1]) if left + 1 < len(first) else inf
        next_right = _meeting(second[right], second[right + 1]) if right + 1 < len(second) else inf
        if right + 1 == len(second) or (left + 1 < len(first) and next_left <= next_right):
            left += 1
        else:
            right += 1
        one, other = first[left], second[right]
        summed.append(Line(one.slope + other.slope, one.offset + other.offset))
    return summed


def tension_envelope_at(
    *, bare: Sequence[Section], chain_alone: Sequence[Section], start: StartRule, point: int
) -> Envelope:
    """Tension at one point of a path by the mass of its chain; 0 is the start, k follows section k."""
    points = _planes(bare, chain_alone)
    ratio, line = points[point]
    opening = _start_lines(points, start)
    return upper_envelope(
        lines=[Line(ratio * t0.slope + line.slope, ratio * t0.offset + line.offset) for t0 in opening]
    )


def _planes(bare: Sequence[Section], chain_alone: Sequence[Section]) -> list[tuple[float, Line]]:
    """A(i), and C(i) with B(i), of each point."""
    pairs = zip(lines_along_path(bare), lines_along_path(chain_alone), strict=True)
    return [(ratio, Line(by_chain, added)) for (ratio, added), (_, by_chain) in pairs]


def _negated(points: Sequence[tuple[float, Line]], opening: Line) -> Envelope:
    """The least tension with its sign turned, where a take-up sets the one line of the start tension."""
    lowest = [
        Line(-ratio * opening.slope - line.slope, -ratio * opening.offset - line.offset) for ratio, line in points
    ]
    return upper_envelope(lines=lowest)


def _start_lines(points: Sequence[tuple[float, Line]], start: StartRule) -> Envelope:
    not_negative("least_tension_n", start.least_tension_n)
    not_negative("slack_tension_n", start.slack_tension_n)
    if start.take_up_tension_n is not None:
        not_negative("take_up_tension_n", start.take_up_tension_n)
        at_least("take_up_point", start.take_up_point, 0, code="point_not_on_path")
        at_most("take_up_point", start.take_up_point, len(points) - 1, code="point_not_on_path")
        ratio, line = points[start.take_up_point]
        return (Line(-line.slope / ratio, (start.take_up_tension_n - line.offset) / ratio),)
    needed = [Line(-line.slope / ratio, (start.least_tension_n - line.offset) / ratio) for ratio, line in points]
    return upper_envelope(lines=[Line(0.0, start.slack_tension_n), *needed])
