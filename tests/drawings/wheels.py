"""Wheels to draw, by the core alone."""

from __future__ import annotations

from typing import Any

from service.core.conversions import MM_PER_INCH
from service.core.plane_curves import scaled
from service.core.sprocket import pitch_diameter
from service.core.sprocket_asme import outside_diameter
from service.core.sprocket_iso import minimum_gap_form, root_diameter, tip_diameter_min
from service.core.tooth_form import asme_gap, iso_gap
from service.drawings.wheel import Cuts, WheelView
from service.drawings.wheel_frame import Writing


def view_of(wheel: dict[str, Any], extra: dict[str, Any]) -> WheelView:
    """The view of a wheel with what a test says of its writing and its openings."""
    given = {**wheel, **extra}
    writing = Writing(**{name: given.pop(name) for name in Writing._fields})
    cuts = Cuts(**{name: given.pop(name) for name in Cuts._fields if name in given})
    return WheelView(writing=writing, cuts=cuts, **given)


def asme_view(teeth: int, *, pitch_in: float = 0.5, roller_in: float = 0.312, **extra: Any) -> WheelView:
    outside = outside_diameter(pitch_in=pitch_in, teeth=teeth)
    gap = asme_gap(pitch_in=pitch_in, roller_diameter_in=roller_in, teeth=teeth, outside_diameter_in=outside)
    pitch_mm = pitch_in * MM_PER_INCH
    diameter = pitch_diameter(pitch_mm=pitch_mm, teeth=teeth)
    return view_of(
        {
            "title": f"Wheel of {teeth} teeth",
            "description": "A wheel for a test.",
            "gap": tuple(scaled(piece, MM_PER_INCH) for piece in gap),
            "teeth": teeth,
            "tip_diameter_mm": outside * MM_PER_INCH,
            "pitch_diameter_mm": diameter,
            "root_diameter_mm": diameter - roller_in * MM_PER_INCH,
            "facts": (("Teeth", str(teeth)), ("Pitch", f"{pitch_mm:.2f} mm")),
            "notes": ("A note that is long enough to be broken into lines. " * 6, "Another."),
        },
        extra,
    )


def iso_view(teeth: int, *, pitch_mm: float = 19.05, roller_mm: float = 12.07, **extra: Any) -> WheelView:
    form = minimum_gap_form(roller_diameter_mm=roller_mm, teeth=teeth)
    tip = tip_diameter_min(pitch_mm=pitch_mm, roller_diameter_mm=roller_mm, teeth=teeth)
    gap = iso_gap(
        pitch_mm=pitch_mm,
        roller_diameter_mm=roller_mm,
        teeth=teeth,
        seating_radius_mm=form.seating_radius_mm,
        seating_angle_deg=form.seating_angle_deg,
        flank_radius_mm=form.flank_radius_mm,
        tip_diameter_mm=tip,
    )
    return view_of(
        {
            "title": f"Wheel of {teeth} teeth",
            "description": "A wheel for a test.",
            "gap": gap,
            "teeth": teeth,
            "tip_diameter_mm": tip,
            "pitch_diameter_mm": pitch_diameter(pitch_mm=pitch_mm, teeth=teeth),
            "root_diameter_mm": root_diameter(pitch_mm=pitch_mm, roller_diameter_mm=roller_mm, teeth=teeth),
            "facts": (("Teeth", str(teeth)),),
            "notes": ("A note.",),
        },
        extra,
    )
