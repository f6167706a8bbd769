"""Centre distances at which two wheels overlap or touch, worded for the caller."""

from __future__ import annotations

from service.core.errors import Issue

PLAUSIBLE_SHARE = 20.0
"""A centre distance in another unit is suggested where it lies between the least and this many times the least."""


def overlap_issues(field: str, centre_distance_mm: float, needed_mm: float) -> list[Issue]:
    """The fault of a centre distance at which the pitch circles overlap, and of a unit that would explain it."""
    overlap = Issue(
        field,
        "centres_overlap",
        f"A centre distance of {centre_distance_mm:g} mm makes the wheels overlap: the pitch circles alone need more "
        f"than {needed_mm:.1f} mm, and the tooth tips come on top.",
        needed_mm,
        centre_distance_mm,
    )
    return [overlap, *other_unit(field, centre_distance_mm, needed_mm)]


def touching_issue(field: str, centre_distance_mm: float, small_outside_mm: float, large_outside_mm: float) -> Issue:
    """The fault of a centre distance at which the pitch circles clear each other, but the tooth tips do not."""
    needed_mm = (small_outside_mm + large_outside_mm) / 2.0
    return Issue(
        field,
        "teeth_would_touch",
        f"At {centre_distance_mm:.1f} mm the tooth tips would touch: outside diameters of {small_outside_mm:.1f} and "
        f"{large_outside_mm:.1f} mm need more than {needed_mm:.1f} mm.",
        needed_mm,
        centre_distance_mm,
        "Lengthen the centres.",
    )


def other_unit(field: str, centre_distance_mm: float, needed_mm: float) -> list[Issue]:
    """The units in which a centre distance that is too short would be a usual one."""
    return [
        Issue(
            field,
            "unit_suspect",
            f"{centre_distance_mm:g} {unit} would fit: is the unit right?",
            None,
            centre_distance_mm,
        )
        for unit, factor in (("in", 25.4), ("m", 1000.0))
        if needed_mm < centre_distance_mm * factor < PLAUSIBLE_SHARE * needed_mm
    ]
