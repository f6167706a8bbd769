"""Openings of a wheel on its drawing: what is cut, and what is written of it."""

from __future__ import annotations

from msgspec import UnsetType

from service.api.drawings import measure
from service.api.wheel_openings import WheelOpenings
from service.calculations.wheel_openings import Openings, OpeningsInput
from service.drawings.wheel import Cuts

_KEYWAY = {"iso_r_773": ", ISO/R 773", "asme_b17_1": ", ANSI B17.1", "own": ""}


def cuts_of(given: OpeningsInput, openings: Openings | None) -> Cuts:
    """What a drawing shows of the openings of a wheel."""
    if openings is None:
        return Cuts()
    return Cuts(
        outlines=openings.outlines,
        hub_diameter_mm=given.hub_diameter_mm,
        hole_circle_mm=None if openings.holes is None else openings.holes.circle_diameter_mm,
        split_rad=openings.split_rad,
    )


def opening_facts(shown: WheelOpenings | UnsetType, *, kerf_stated: bool) -> list[tuple[str, str]]:
    """Lines on the openings; ``kerf_stated`` also says that no kerf was applied."""
    openings = WheelOpenings(outlines=[]) if isinstance(shown, UnsetType) else shown
    facts = []
    if not isinstance(openings.bore_diameter, UnsetType):
        facts.append(("Bore", measure(openings.bore_diameter)))
    key = openings.keyway
    if not isinstance(key, UnsetType):
        facts.append(("Keyway width", f"{measure(key.width)}{_KEYWAY[key.standard]}"))
        facts.append(("Keyway to other side", measure(key.depth_to_opposite_side)))
    if not isinstance(openings.wall, UnsetType):
        facts.append(("Least wall", measure(openings.wall)))
    holes = openings.holes
    if not isinstance(holes, UnsetType):
        facts.append(
            ("Holes", f"{len(holes.centres)} of {measure(holes.hole_diameter)} on {measure(holes.circle_diameter)}")
        )
    if not isinstance(openings.split_angle, UnsetType):
        facts.append(("Split", f"{openings.split_angle.value:.2f} deg from the top"))
    if not isinstance(openings.kerf, UnsetType):
        facts.append(("Kerf", f"{measure(openings.kerf)}, applied to the outlines"))
    elif kerf_stated:
        facts.append(("Kerf", "not applied"))
    return facts
