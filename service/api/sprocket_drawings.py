"""What is written on the drawing of a wheel, taken from its answer, so that both say the same."""

from __future__ import annotations

from msgspec import UnsetType

from service.api.drawings import measure, notes_of, tolerance
from service.api.sprocket_answers import SprocketGeometryAnswer
from service.api.wheel_openings import WheelOpenings
from service.calculations.sprocket_geometry import SprocketGeometryInput, SprocketGeometryResult
from service.drawings.sheet import Sheet
from service.drawings.wheel import WheelView, wheel_sheet

_KEYWAY = {"iso_r_773": ", ISO/R 773", "asme_b17_1": ", ANSI B17.1", "own": ""}
_FORM = {"asme_b29_1": "ASME B29.1, standard form", "iso_606": "ISO 606, {} tooth gap"}


def draw_wheel(given: SprocketGeometryInput, result: SprocketGeometryResult, answer: SprocketGeometryAnswer) -> Sheet:
    """The sheet of a wheel."""
    wheel = result.wheel
    facts = _facts(given, answer)
    name = given.chain.designation
    return wheel_sheet(
        WheelView(
            title=f"Chain wheel {name}, {given.teeth} teeth",
            description=(
                f"Front view to scale of a wheel with {given.teeth} teeth for chain {name}, with its pitch circle, "
                f"axes and the caliper dimension C. {'; '.join(f'{label}: {value}' for label, value in facts)}."
            ),
            gap=result.openings.gap,
            teeth=given.teeth,
            tip_diameter_mm=wheel.tip_diameter_mm,
            pitch_diameter_mm=wheel.pitch_diameter_mm,
            root_diameter_mm=wheel.root_diameter_mm,
            facts=tuple(facts),
            notes=notes_of(answer),
            outlines=result.openings.outlines,
            hub_diameter_mm=given.openings.hub_diameter_mm,
            hole_circle_mm=None if result.openings.holes is None else result.openings.holes.circle_diameter_mm,
            split_rad=result.openings.split_rad,
        )
    )


def _facts(given: SprocketGeometryInput, answer: SprocketGeometryAnswer) -> list[tuple[str, str]]:
    result = answer.result
    across = "gap to opposite gap" if given.teeth % 2 == 0 else "longest chord of gaps"
    minus = result.minus_tolerance
    facts = [
        ("Chain", given.chain.designation),
        ("Strands", str(given.strand_count)),
        ("Teeth", str(given.teeth)),
        ("Tooth form", _FORM[result.standard].format(given.gap_form)),
        ("Pitch", measure(result.pitch)),
        ("Roller diameter", measure(result.roller_diameter)),
        ("Pitch diameter", measure(result.pitch_diameter)),
        ("Tip diameter", measure(result.tip_diameter)),
        ("Root diameter", measure(result.root_diameter) + tolerance(minus)),
        ("C  Caliper diameter", measure(result.caliper_diameter) + tolerance(minus)),
        ("C  is measured over", across),
        ("Over gauge pins", measure(result.over_pins)),
    ]
    if not isinstance(result.width, UnsetType):
        facts.append(("Tooth width, at most", measure(result.width.tooth_width)))
        if given.strand_count > 1:
            facts.append(("Width over all rows", measure(result.width.overall_width)))
    if not isinstance(result.hub_diameter_max, UnsetType):
        facts.append(("Hub diameter, at most", measure(result.hub_diameter_max)))
    openings = WheelOpenings(outlines=[]) if isinstance(result.openings, UnsetType) else result.openings
    return facts + _opening_facts(openings)


def _opening_facts(openings: WheelOpenings) -> list[tuple[str, str]]:
    facts = []
    if not isinstance(openings.bore_diameter, UnsetType):
        facts.append(("Bore", measure(openings.bore_diameter)))
    key = openings.keyway
    if not isinstance(key, UnsetType):
        standard = _KEYWAY[key.standard]
        facts.append(("Keyway width", f"{measure(key.width)}{standard}"))
        facts.append(("Keyway to other side", measure(key.depth_to_opposite_side)))
    if not isinstance(openings.wall, UnsetType):
        facts.append(("Least wall", measure(openings.wall)))
    holes = openings.holes
    if not isinstance(holes, UnsetType):
        facts.append(
            ("Holes", f"{len(holes.centres)} of {measure(holes.hole_diameter)} on {measure(holes.circle_diameter)}")
        )
    if not isinstance(openings.split_angle, UnsetType):
        facts.append(("Split", f"{openings.split_angle.value:.2f} deg from the top gap"))
    kerf = openings.kerf
    facts.append(
        ("Kerf", "not applied" if isinstance(kerf, UnsetType) else f"{measure(kerf)}, applied to the outlines")
    )
    return facts
