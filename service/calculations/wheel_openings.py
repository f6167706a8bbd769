"""What is cut into a wheel beside its teeth: bore, keyway, holes, split and the width of the cut, with their walls."""

from __future__ import annotations

from math import degrees, pi, sin
from typing import TYPE_CHECKING

from service.calculations.trace import Check
from service.calculations.wheel_keyways import Keyway, KeywayInput, keyway_of
from service.core import keyways
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.kerf import cut_path
from service.core.openings import hole_centres, keyed_bore, round_hole
from service.core.plane_curves import Piece, Point, rotated
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.keys import KeySizes

MOST_KERF_MM = 10.0
"""Wider cuts are no plate cutting: jets and flames take about 0.1 to 8 mm (practice)."""


class BoltCircleInput(Record, frozen=True, kw_only=True):
    """Evenly spread round holes."""

    diameter_mm: float
    hole_count: int
    hole_diameter_mm: float


class OpeningsInput(Record, frozen=True, kw_only=True):
    """What is cut into the wheel; a bore of None or nought is a blank wheel."""

    bore_mm: float | None = None
    keyway: KeywayInput | None = None
    hub_diameter_mm: float | None = None
    hub_length_mm: float | None = None
    bolt_circle: BoltCircleInput | None = None
    least_wall_mm: float | None = None
    split: bool = False
    kerf_mm: float | None = None

    @property
    def asked(self) -> bool:
        """Whether anything is said of openings; a bore of nought is a blank wheel."""
        return self != replace(NOTHING_CUT, bore_mm=self.bore_mm) or bool(self.bore_mm)


NOTHING_CUT = OpeningsInput()


class Metal(Record, frozen=True, kw_only=True):
    """What of a wheel its openings have to stay inside of.

    ``ends_diameter_mm`` is where the metal ends outside, at the bottoms of the gaps or at a plain rim; ``gap`` the
    contour of one gap, nothing where none is known; ``gaps`` their number, None of a plain wheel.
    """

    ends_diameter_mm: float
    circle: str = "root circle"
    ends: str = "the bottoms of the tooth gaps"
    hub_diameter_max_mm: float | None = None
    gaps: int | None = None
    gap: tuple[Piece, ...] = ()


class Holes(Record, frozen=True, kw_only=True):
    """Holes of a bolt circle and what is left round them."""

    circle_diameter_mm: float
    centres: tuple[Point, ...]
    diameter_mm: float
    outer_wall_mm: float
    inner_wall_mm: float
    between_mm: float | None


class Openings(Record, frozen=True, kw_only=True):
    """What is cut into the wheel; gap and outlines are those of the cut, set off by the kerf where there is one."""

    bore_diameter_mm: float | None
    wall_mm: float | None
    keyway: Keyway | None
    holes: Holes | None
    split_rad: float | None
    kerf_mm: float | None
    gap: tuple[Piece, ...]
    outlines: tuple[tuple[Piece, ...], ...]


def wheel_openings(given: OpeningsInput, metal: Metal, keys: KeySizes, trace: Trace) -> Openings:
    """Openings of a wheel and their walls.

    Raises:
        OutOfRange: a bore, hole or cut that does not fit, or a wall that is not there.
        Inconsistent: sizes that cannot hold together.
        MoreNeeded: a keyway without sizes, or a torque without the length of the key.
        NotInReference: a shaft outside the table of keys.
    """
    if given.kerf_mm is not None and not (metal.gap or given.bore_mm or given.bolt_circle):
        message = "Nothing of this wheel is cut: no contour of it is known, and neither bore nor holes were sent."
        raise Inconsistent(Issue("kerf_mm", "nothing_to_cut", message, None, given.kerf_mm, "Leave kerf out."))
    bore = given.bore_mm or None
    if bore is None and given.keyway is not None:
        raise MoreNeeded(Issue("bore_mm", "field_required", "A keyway needs the diameter of its bore."))
    _check_bore(given, metal, trace)
    keyway = None
    if given.keyway is not None and bore is not None:
        keyway = keyway_of(given.keyway, bore, given.hub_length_mm, gaps=metal.gaps, keys=keys, trace=trace)
    reach = _reach(bore, keyway, trace)
    wall = None if bore is None else _wall(given, metal, keyway, reach, trace)
    split = _split(given, keyway, metal.gaps, trace)
    holes = _holes(given, metal, keyway, reach, split)
    gap, outlines = _cut(given, metal, keyway, holes, trace)
    return Openings(
        bore_diameter_mm=bore,
        wall_mm=wall,
        keyway=keyway,
        holes=holes,
        split_rad=split,
        kerf_mm=given.kerf_mm,
        gap=gap,
        outlines=outlines,
    )


def openings_within(
    given: OpeningsInput, metal: Metal | None, missing: Issue, keys: KeySizes, trace: Trace
) -> Openings | None:
    """Openings of a wheel of which it may not be known where its metal ends; None where none are asked for there.

    Raises:
        MoreNeeded: ``missing``, where openings are asked for and it is not known; else as ``wheel_openings``.
    """
    if metal is not None:
        return wheel_openings(given, metal, keys, trace)
    if given.asked:
        raise MoreNeeded(missing)
    return None


def _outside(given: OpeningsInput, metal: Metal) -> float:
    """Diameter of the metal round the bore: the hub where it is the smaller one, else where the wheel ends."""
    ends = metal.ends_diameter_mm
    return ends if given.hub_diameter_mm is None else min(ends, given.hub_diameter_mm)


def _check_bore(given: OpeningsInput, metal: Metal, trace: Trace) -> None:
    if given.hub_diameter_mm is not None and metal.hub_diameter_max_mm is not None:
        trace.check(Check("hub_diameter", given.hub_diameter_mm, metal.hub_diameter_max_mm, "length"))
    most = _outside(given, metal)
    if given.bore_mm is not None and not given.bore_mm < most:
        where = "hub" if most == given.hub_diameter_mm else metal.circle
        message = f"A bore of {given.bore_mm:g} mm leaves no metal inside the {where} of {most:.6g} mm."
        raise OutOfRange(Issue("bore_mm", "bore_too_large", message, most, given.bore_mm))


def _reach(bore: float | None, keyway: Keyway | None, trace: Trace) -> float:
    """How far bore and keyway reach from the centre."""
    if bore is None or keyway is None:
        return (bore or 0.0) / 2
    return trace.take(
        keyways.corner_reach,
        bore_diameter_mm=bore,
        keyway_width_mm=keyway.width_mm,
        depth_to_opposite_side_mm=keyway.depth_to_opposite_side_mm,
    )


def _wall(given: OpeningsInput, metal: Metal, keyway: Keyway | None, reach: float, trace: Trace) -> float:
    """Least wall between the bore or its keyway and the root circle or the hub."""
    outside = _outside(given, metal)
    wall = outside / 2 - reach
    if not wall > 0:
        message = f"The keyway reaches {reach:.6g} mm from the centre, and the metal ends at {outside / 2:.6g} mm."
        hint = "Take a smaller bore, a shallower key or a larger wheel."
        raise OutOfRange(Issue("bore_mm", "wall_too_thin", message, outside / 2, reach, hint))
    limit, note = given.least_wall_mm, "the caller's least wall"
    if limit is None and keyway is not None:
        limit, note = keyway.bearing_depth_mm, "at least the depth of the keyway at its side (practice)"
    if limit is not None:
        trace.check(Check("wall_round_bore", wall, limit, "length", "at_least", note))
    return wall


def _split(given: OpeningsInput, keyway: Keyway | None, gaps: int | None, trace: Trace) -> float | None:
    """Angle of the split from +y: through the gap that lies nearest to a right angle from the keyway."""
    if not given.split:
        return None
    key_angle = 0.0 if keyway is None else keyway.angle_rad
    if gaps is None:
        trace.assume("split", degrees(key_angle + pi / 2), "derived", "degrees from the top, across the keyway")
        return key_angle + pi / 2
    angle = 2 * pi * round((key_angle + pi / 2) * gaps / (2 * pi)) / gaps
    trace.assume("split", degrees(angle), "derived", "degrees from the drawn gap, about across the keyway")
    if gaps % 2:
        trace.warn(
            "split_through_tooth",
            f"{gaps} teeth are an odd number: a split through a gap goes through a tooth on the other side.",
            field="split",
        )
    return angle


def _holes(
    given: OpeningsInput, metal: Metal, keyway: Keyway | None, reach: float, split: float | None
) -> Holes | None:
    circle = given.bolt_circle
    if circle is None:
        return None
    radius, hole = circle.diameter_mm / 2, circle.hole_diameter_mm / 2
    step = 2 * pi / circle.hole_count
    key_angle = 0.0 if keyway is None else keyway.angle_rad
    first = key_angle + step / 2
    if split is not None:
        first = max((first, key_angle, key_angle + step / 4), key=lambda angle: _off_split(angle, step, circle, split))
    between = 2 * radius * sin(step / 2) - 2 * hole if circle.hole_count > 1 else None
    walls = {
        metal.ends: metal.ends_diameter_mm / 2 - radius - hole,
        "the bore or its keyway": radius - hole - reach,
        "each other": between,
        "the split": None if split is None else _off_split(first, step, circle, split) - hole,
    }
    for what, wall in walls.items():
        if wall is not None and not wall > 0:
            message = f"The holes break into {what}: {-wall:.4g} mm of wall are missing."
            hint = "Change the diameter of the circle, the holes or their number."
            raise OutOfRange(Issue("bolt_circle", "holes_break_out", message, None, circle.diameter_mm, hint))
    return Holes(
        circle_diameter_mm=circle.diameter_mm,
        centres=hole_centres(circle_diameter_mm=circle.diameter_mm, hole_count=circle.hole_count, first_rad=first),
        diameter_mm=circle.hole_diameter_mm,
        outer_wall_mm=metal.ends_diameter_mm / 2 - radius - hole,
        inner_wall_mm=radius - hole - reach,
        between_mm=between,
    )


def _off_split(first: float, step: float, circle: BoltCircleInput, split: float) -> float:
    """Least distance of a hole's centre from the line of the split."""
    angles = (first + hole * step - split for hole in range(circle.hole_count))
    return min(abs(sin(angle)) for angle in angles) * circle.diameter_mm / 2


def _cut(
    given: OpeningsInput, metal: Metal, keyway: Keyway | None, holes: Holes | None, trace: Trace
) -> tuple[tuple[Piece, ...], tuple[tuple[Piece, ...], ...]]:
    """The gap and the outlines of all openings as they are cut."""
    outlines: list[tuple[Piece, ...]] = []
    if given.bore_mm:
        outlines.append(_bore(given.bore_mm, keyway))
    if holes is not None:
        outlines += [round_hole(centre=centre, diameter_mm=holes.diameter_mm, part="hole") for centre in holes.centres]
    kerf = given.kerf_mm
    if kerf is None:
        return metal.gap, tuple(outlines)
    if kerf > MOST_KERF_MM:
        message = f"A cut {kerf:g} mm wide is no cut through plate; up to {MOST_KERF_MM:g} mm are taken."
        hint = f"Did you mean {kerf / 10:g} mm?"
        raise OutOfRange(Issue("kerf_mm", "kerf_suspect", message, MOST_KERF_MM, kerf, hint))
    outwards = "the contour outwards, " if metal.gap else ""
    trace.warn(
        "kerf_applied",
        f"The outlines are set off by half of a cut {kerf:g} mm wide: {outwards}bore and holes inwards. Switch the "
        "compensation of the cutting machine off.",
        field="kerf_mm",
    )
    gap = metal.gap
    if gap and metal.gaps is not None:
        gap = cut_path(gap, rotated(gap[0], 2 * pi / metal.gaps), kerf_mm=kerf)
    return gap, tuple(cut_path(outline, outline[0], kerf_mm=kerf) for outline in outlines)


def _bore(bore: float, keyway: Keyway | None) -> tuple[Piece, ...]:
    if keyway is None:
        return round_hole(centre=Point(0.0, 0.0), diameter_mm=bore, part="bore")
    return keyed_bore(
        bore_diameter_mm=bore,
        keyway_width_mm=keyway.width_mm,
        depth_to_opposite_side_mm=keyway.depth_to_opposite_side_mm,
        angle_rad=keyway.angle_rad,
    )
