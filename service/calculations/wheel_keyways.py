"""The keyway of a wheel: by a standard or its own sizes, and the stresses of its key."""

from __future__ import annotations

from math import pi, sqrt
from typing import TYPE_CHECKING, Literal

from service.calculations.trace import Check
from service.core import keyways
from service.core.conversions import MM_PER_INCH
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.keys import KeyShape, KeySizes

KeyStandard = Literal["iso_r_773", "asme_b17_1"]


class KeywayInput(Record, frozen=True, kw_only=True):
    """A keyway by a standard or by its own sizes, and what the key has to carry."""

    standard: KeyStandard | None = None
    shape: KeyShape | None = None
    width_mm: float | None = None
    hub_depth_mm: float | None = None
    in_line_with: Literal["gap", "tooth"] = "gap"
    torque_n_m: float | None = None
    key_length_mm: float | None = None
    allowable_shear_n_mm2: float | None = None
    allowable_bearing_n_mm2: float | None = None


class Keyway(Record, frozen=True, kw_only=True):
    """A keyway in the hub; the bearing depth is the height of the side of the key that bears on the hub."""

    standard: KeyStandard | None
    width_mm: float
    key_height_mm: float | None
    depth_to_opposite_side_mm: float
    bearing_depth_mm: float
    angle_rad: float
    shear_stress_n_mm2: float | None = None
    bearing_stress_n_mm2: float | None = None


def keyway_of(
    given: KeywayInput, bore: float, hub_length: float | None, *, gaps: int | None, keys: KeySizes, trace: Trace
) -> Keyway:
    """The keyway that was asked for, in the bore of a wheel.

    Raises:
        Inconsistent: a standard and own sizes, or a keyway wider than the bore.
        MoreNeeded: neither a standard nor own sizes, or a torque without the length of the key.
        NotInReference: a shaft outside the table of keys.
        OutOfRange: a shape that the standard does not have.

    ``gaps`` is None of a plain wheel, whose keyway stands at the top.
    """
    angle = 0.0 if given.in_line_with == "gap" or gaps is None else pi / gaps
    own = given.width_mm is not None or given.hub_depth_mm is not None
    if given.standard is not None and own:
        message = "Send a standard or the keyway's own width and hub_depth, not both."
        raise Inconsistent(Issue("keyway.width_mm", "over_determined", message, None, given.width_mm))
    if given.standard == "iso_r_773":
        keyway = _metric_keyway(bore, angle, keys, trace)
    elif given.standard == "asme_b17_1":
        keyway = _inch_keyway(given, bore, angle, keys, trace)
    else:
        keyway = _own_keyway(given, bore, angle)
    return keyway if given.torque_n_m is None else _loaded(keyway, given, bore, hub_length, trace)


def _metric_keyway(bore: float, angle: float, keys: KeySizes, trace: Trace) -> Keyway:
    row = keys.metric_key("bore_mm", bore)
    trace.row(row, f"key {row.width_mm:g} x {row.height_mm:g} mm")
    return Keyway(
        standard="iso_r_773",
        width_mm=row.width_mm,
        key_height_mm=row.height_mm,
        depth_to_opposite_side_mm=bore + row.hub_depth_mm,
        bearing_depth_mm=row.height_mm - row.shaft_depth_mm,
        angle_rad=angle,
    )


def _inch_keyway(given: KeywayInput, bore: float, angle: float, keys: KeySizes, trace: Trace) -> Keyway:
    shaft_in = bore / MM_PER_INCH
    row = keys.inch_key("bore_mm", shaft_in)
    shape = given.shape
    if shape is None:
        shape = row.preferred_shape
        trace.assume("keyway.shape", shape, "table", "the shape that the standard prefers for this shaft")
    height_in = row.square_height_in if shape == "square" else row.rectangular_height_in
    if height_in is None:
        message = f"The standard has no rectangular key for a shaft of {shaft_in:g} in."
        raise OutOfRange(Issue("keyway.shape", "keyway_not_standard", message, None, shape, "Take the square key."))
    trace.row(row, f"key {row.width_in:g} x {height_in:g} in")
    depth_in = trace.take(
        keyways.hub_depth_control, shaft_diameter_in=shaft_in, key_width_in=row.width_in, key_height_in=height_in
    )
    return Keyway(
        standard="asme_b17_1",
        width_mm=row.width_in * MM_PER_INCH,
        key_height_mm=height_in * MM_PER_INCH,
        depth_to_opposite_side_mm=depth_in * MM_PER_INCH,
        bearing_depth_mm=height_in * MM_PER_INCH / 2,
        angle_rad=angle,
    )


def _own_keyway(given: KeywayInput, bore: float, angle: float) -> Keyway:
    width, depth = given.width_mm, given.hub_depth_mm
    if width is None or depth is None:
        message = "Say the standard of the keyway: metric (iso_r_773) or inch (asme_b17_1)."
        hint = "Or send its own width and hub_depth."
        raise MoreNeeded(
            Issue("keyway.standard", "keyway_standard_needed", message, None, None, hint),
            candidates=("iso_r_773", "asme_b17_1"),
        )
    if not width < bore:
        message = f"A keyway {width:g} mm wide does not fit a bore of {bore:g} mm."
        raise Inconsistent(Issue("keyway.width_mm", "geometry_impossible", message, bore, width))
    mouth = sqrt((bore - width) * (bore + width)) / 2
    return Keyway(
        standard=None,
        width_mm=width,
        key_height_mm=None,
        depth_to_opposite_side_mm=bore + depth,
        bearing_depth_mm=bore / 2 + depth - mouth,
        angle_rad=angle,
    )


def _loaded(keyway: Keyway, given: KeywayInput, bore: float, hub_length: float | None, trace: Trace) -> Keyway:
    """The keyway with the stresses of its key, compared with what the caller allows."""
    length = given.key_length_mm
    if length is None and hub_length is not None:
        length = hub_length
        trace.assume("keyway.key_length_mm", length, "derived", "the length of the hub")
    if length is None:
        message = "The stresses of the key need its bearing length, or the length of the hub."
        raise MoreNeeded(Issue("keyway.key_length_mm", "key_length_missing", message))
    torque = given.torque_n_m or 0.0
    shear = trace.take(
        keyways.shear_stress_n_mm2,
        torque_n_m=torque,
        shaft_diameter_mm=bore,
        key_width_mm=keyway.width_mm,
        key_length_mm=length,
    )
    bearing = trace.take(
        keyways.bearing_stress_n_mm2,
        torque_n_m=torque,
        shaft_diameter_mm=bore,
        bearing_depth_mm=keyway.bearing_depth_mm,
        key_length_mm=length,
    )
    for name, stress, allowed in (
        ("key_shear_stress", shear, given.allowable_shear_n_mm2),
        ("key_bearing_stress", bearing, given.allowable_bearing_n_mm2),
    ):
        if allowed is not None:
            trace.check(Check(name, stress, allowed, "stress", note="the allowed stress is the caller's"))
    return replace(keyway, shear_stress_n_mm2=shear, bearing_stress_n_mm2=bearing)
