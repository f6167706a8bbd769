"""Tension of a conveyor chain: what each run and turn adds, and the sum round the path from point to point."""

from __future__ import annotations

from math import cos, inf, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.conversions import FREE_FALL_M_S2
from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import at_least, at_most, not_negative, positive

if TYPE_CHECKING:
    from collections.abc import Sequence

RIGHT_ANGLE = pi / 2
"""Steepest run, straight up or straight down."""


class Run(NamedTuple):
    """A straight run in the direction of motion; see ``run_tension_change`` for its quantities."""

    length_m: float
    angle_rad: float
    moving_mass_kg_m: float
    load_mass_kg_m: float
    chain_friction: float
    load_friction: float
    wall_resistance_n_m: float


class Turn(NamedTuple):
    """A wheel or curve that multiplies the tension; see ``conveyor_turns``."""

    tension_ratio: float


class Lump(NamedTuple):
    """A resistance at one place: digging in a boot, a scraper, a plough."""

    force_n: float


Section = Run | Turn | Lump


@equation(
    "conveyor_pull.run_tension_change",
    symbol="dT",
    unit="N",
    sources=(
        Source("plane-geometry", "balance of forces along a straight run", "derived"),
        Source("ray-2008", "chain conveyors, p. 94, equation (i)", "published"),
    ),
)
def run_tension_change(
    *,
    length_m: float,
    angle_rad: float,
    moving_mass_kg_m: float,
    load_mass_kg_m: float,
    chain_friction: float,
    load_friction: float,
    wall_resistance_n_m: float,
) -> float:
    """Tension that a straight run adds in the direction of motion.

    Equation:
        dT = { g [ (w + q) sin a + (w f1 + q f2) cos a ] + s } L

    Args:
        length_m: Length of the run L, [m]; L > 0.
        angle_rad: Angle to the horizontal a, climbing positive, [rad]; -pi/2 <= a <= pi/2.
        moving_mass_kg_m: Moving parts per length w, all chains together, [kg/m]; w >= 0.
        load_mass_kg_m: Material or goods per length q, [kg/m]; q >= 0.
        chain_friction: Friction of the chain on its track f1, [-]; f1 >= 0.
        load_friction: Friction of the load f2: f1 where it rides on the chain, that of material on trough where
            it is dragged or pushed, [-]; f2 >= 0.
        wall_resistance_n_m: Side-wall or skirt resistance per length s, [N/m]; s >= 0.

    Returns:
        Tension change dT, [N]; negative where the run drives itself.

    Raises:
        OutOfRange: a value is not finite, negative where it must not be, or the angle is beyond the vertical.

    Validity: steady speed; a chain held on its track.
    Deviations: none.
    Sources: plane-geometry [derived]; ray-2008 p. 94 equation (i) [published].

    Examples:
        >>> run_tension_change(length_m=20, angle_rad=0, moving_mass_kg_m=15, load_mass_kg_m=50, chain_friction=0.2,
        ...     load_friction=0.2, wall_resistance_n_m=0)
        2549.729
    """
    if not (
        0.0 < length_m < inf
        and abs(angle_rad) <= RIGHT_ANGLE
        and 0.0 <= moving_mass_kg_m < inf
        and 0.0 <= load_mass_kg_m < inf
        and 0.0 <= chain_friction < inf
        and 0.0 <= load_friction < inf
        and 0.0 <= wall_resistance_n_m < inf
    ):
        positive("length_m", length_m)
        not_negative("moving_mass_kg_m", moving_mass_kg_m)
        not_negative("load_mass_kg_m", load_mass_kg_m)
        not_negative("chain_friction", chain_friction)
        not_negative("load_friction", load_friction)
        not_negative("wall_resistance_n_m", wall_resistance_n_m)
        at_least("angle_rad", angle_rad, -RIGHT_ANGLE, code="angle_out_of_range")
        at_most("angle_rad", angle_rad, RIGHT_ANGLE, code="angle_out_of_range")
    slope = (moving_mass_kg_m + load_mass_kg_m) * sin(angle_rad)
    friction = (moving_mass_kg_m * chain_friction + load_mass_kg_m * load_friction) * cos(angle_rad)
    return (FREE_FALL_M_S2 * (slope + friction) + wall_resistance_n_m) * length_m


@equation(
    "conveyor_pull.inclined_carried",
    symbol="T",
    unit="N",
    sources=(Source("ray-2008", "chain conveyors, p. 94, equation (i)", "published"),),
)
def inclined_carried(
    *, horizontal_m: float, rise_m: float, moving_mass_kg_m: float, load_mass_kg_m: float, chain_friction: float
) -> float:
    """Pull at the head of a straight conveyor that carries its load, return strand below, drive at the head.

    Equation:
        T = q g (V + f H) + w g (V + f H) + max(0, w g (f H - V))

    Args:
        horizontal_m: Horizontal projection of the length H, [m]; H > 0.
        rise_m: Rise V, [m]; V >= 0.
        moving_mass_kg_m: Moving parts per length w, [kg/m]; w >= 0.
        load_mass_kg_m: Load per length q, [kg/m]; q >= 0.
        chain_friction: Friction of the chain on its track f, [-]; f >= 0.

    Returns:
        Pull T, [N].

    Raises:
        OutOfRange: a value is not finite or below its lower limit.

    Validity: load riding on the chain; no take-up tension, no wheel losses; the chain is chosen on T or on the
        tension of a return strand that hangs from the head, whichever is greater.
    Deviations: none.
    Sources: ray-2008 p. 94 equation (i) [published].

    Examples:
        >>> inclined_carried(horizontal_m=20, rise_m=0, moving_mass_kg_m=15, load_mass_kg_m=50, chain_friction=0.2)
        3138.128
    """
    positive("horizontal_m", horizontal_m)
    for name, value in (
        ("rise_m", rise_m),
        ("moving_mass_kg_m", moving_mass_kg_m),
        ("load_mass_kg_m", load_mass_kg_m),
        ("chain_friction", chain_friction),
    ):
        not_negative(name, value)
    friction = chain_friction * horizontal_m
    climbing = (load_mass_kg_m + moving_mass_kg_m) * (rise_m + friction)
    return FREE_FALL_M_S2 * (climbing + max(0.0, moving_mass_kg_m * (friction - rise_m)))


class PathTensions(NamedTuple):
    """Tension at each point of a path.

    Attributes:
        tensions_n: Tension at the start and after each section, in the direction of motion.
        effective_pull_n: Last less first: what the drive adds; negative where it must hold back.
        greatest_n: Greatest tension on the path, which the chain is chosen on.
        least_n: Least tension on the path, which keeps the chain in place.
    """

    tensions_n: tuple[float, ...]
    effective_pull_n: float
    greatest_n: float
    least_n: float


@equation(
    "conveyor_pull.tensions_along_path",
    symbol="T",
    unit="object",
    sources=(Source("plane-geometry", "sum of the sections from the slack side of the drive", "derived"),),
)
def tensions_along_path(*, start_tension_n: float, sections: Sequence[Section]) -> PathTensions:
    """Tension from point to point, from the slack side of the drive round to its tight side.

    Equation:
        T(i) = T(i-1) + dT of a run or lump;  T(i) = T(i-1) r of a turn

    Args:
        start_tension_n: Tension on the slack side of the drive, [N]; T >= 0.
        sections: Runs, turns and lumps in the direction of motion, [object].

    Returns:
        Tensions, effective pull, greatest and least tension, [object].

    Raises:
        OutOfRange: the start tension is negative or a section refuses its values.

    Validity: steady speed; where the least tension falls below what keeps the chain in place, the start tension
        must be raised (``least_start_tension``).
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> tensions_along_path(start_tension_n=100, sections=[Turn(tension_ratio=1.05), Lump(force_n=50)]).tensions_n
        (100, 105.0, 155.0)
    """
    not_negative("start_tension_n", start_tension_n)
    tensions = [start_tension_n]
    for ratio, added in _steps(sections):
        tensions.append(tensions[-1] * ratio + added)
    return PathTensions(
        tensions_n=tuple(tensions),
        effective_pull_n=tensions[-1] - tensions[0],
        greatest_n=max(tensions),
        least_n=min(tensions),
    )


@equation(
    "conveyor_pull.least_start_tension",
    symbol="T0",
    unit="N",
    sources=(Source("plane-geometry", "tension of each point as a straight line of the start tension", "derived"),),
)
def least_start_tension(*, least_tension_n: float, sections: Sequence[Section]) -> float:
    """Smallest tension on the slack side of the drive that keeps every point of the path at a least tension.

    Equation:
        T(i) = A(i) T0 + B(i);  T0 = max over i of (T_least - B(i))/A(i)

    Args:
        least_tension_n: Tension that keeps the chain in place, [N]; T_least >= 0.
        sections: Runs, turns and lumps in the direction of motion, [object].

    Returns:
        Start tension T0, [N].

    Raises:
        OutOfRange: the least tension is negative or a section refuses its values.

    Validity: as for ``conveyor_pull.tensions_along_path``. A strand that descends from the head hangs on it, so
        that the answer then exceeds the least tension.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> least_start_tension(least_tension_n=200, sections=[Lump(force_n=-50.0), Turn(tension_ratio=1.05)])
        250.0
    """
    not_negative("least_tension_n", least_tension_n)
    return max((least_tension_n - added) / ratio for ratio, added in lines_along_path(sections))


@equation(
    "conveyor_pull.start_tension_for_take_up",
    symbol="T0",
    unit="N",
    sources=(Source("plane-geometry", "tension of each point as a straight line of the start tension", "derived"),),
)
def start_tension_for_take_up(*, take_up_tension_n: float, point: int, sections: Sequence[Section]) -> float:
    """Tension on the slack side of the drive that a take-up elsewhere on the path brings about.

    Equation:
        T0 = (T_take-up - B(k))/A(k)

    Args:
        take_up_tension_n: Tension that the take-up holds in the strand at its point, [N]; T >= 0.
        point: Point k of the take-up: 0 is the start, k follows section k, [-]; 0 <= k <= number of sections.
        sections: Runs, turns and lumps in the direction of motion, [object].

    Returns:
        Start tension T0, [N].

    Raises:
        OutOfRange: the point is not on the path, or code ``take_up_too_weak``: no tension is left at the drive.

    Validity: as for ``conveyor_pull.tensions_along_path``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> start_tension_for_take_up(take_up_tension_n=210, point=1, sections=[Turn(tension_ratio=1.05)])
        200.0
    """
    not_negative("take_up_tension_n", take_up_tension_n)
    at_least("point", point, 0, code="point_not_on_path")
    at_most("point", point, len(sections), code="point_not_on_path")
    ratio, added = lines_along_path(sections)[point]
    start = (take_up_tension_n - added) / ratio
    if start < 0:
        message = f"The take-up leaves {start:g} N on the slack side of the drive; the chain would hang slack there."
        raise OutOfRange(Issue("take_up_tension_n", "take_up_too_weak", message, added, take_up_tension_n))
    return start


@equation(
    "conveyor_pull.gravity_take_up_tension",
    symbol="T",
    unit="N",
    sources=(Source("plane-geometry", "balance of a weight hung from strands", "derived"),),
)
def gravity_take_up_tension(*, take_up_mass_kg: float, strand_count: int) -> float:
    """Tension that a hanging take-up weight holds in each strand that carries it.

    Equation:
        T = M g/n

    Args:
        take_up_mass_kg: Mass of weight and take-up shaft M, [kg]; M > 0.
        strand_count: Strands that carry it n; two for a wheel, [-]; n >= 1.

    Returns:
        Tension of one strand T, [N].

    Raises:
        OutOfRange: the mass is not above zero or there is no strand.

    Validity: friction of the take-up guides left out.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> gravity_take_up_tension(take_up_mass_kg=100, strand_count=2)
        490.3325
    """
    positive("take_up_mass_kg", take_up_mass_kg)
    at_least("strand_count", strand_count, 1, code="must_be_positive")
    return take_up_mass_kg * FREE_FALL_M_S2 / strand_count


def _steps(sections: Sequence[Section]) -> list[tuple[float, float]]:
    """Ratio and sum by which each section changes the tension."""
    return [_step(section) for section in sections]


def _step(section: Section) -> tuple[float, float]:
    if isinstance(section, Turn):
        at_least("tension_ratio", section.tension_ratio, 1, code="ratio_below_one")
        return section.tension_ratio, 0.0
    if isinstance(section, Lump):
        return 1.0, section.force_n
    change = run_tension_change(
        length_m=section.length_m,
        angle_rad=section.angle_rad,
        moving_mass_kg_m=section.moving_mass_kg_m,
        load_mass_kg_m=section.load_mass_kg_m,
        chain_friction=section.chain_friction,
        load_friction=section.load_friction,
        wall_resistance_n_m=section.wall_resistance_n_m,
    )
    return 1.0, change


def lines_along_path(sections: Sequence[Section]) -> list[tuple[float, float]]:
    """A(i) and B(i) of each point, the start first: T(i) = A(i) T0 + B(i)."""
    lines = [(1.0, 0.0)]
    for ratio, added in _steps(sections):
        lines.append((lines[-1][0] * ratio, lines[-1][1] * ratio + added))
    return lines
