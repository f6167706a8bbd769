"""What is written on the drawing of a wheel, taken from its answer, so that both say the same."""

from __future__ import annotations

from functools import partial

from msgspec import UnsetType

from service.api.drawings import Drawing, measure, notes_of, tolerance
from service.api.sprocket_answers import SprocketGeometryAnswer
from service.api.wheel_opening_drawings import cuts_of, opening_facts
from service.calculations.sprocket_geometry import SprocketGeometryInput, SprocketGeometryResult
from service.drawings.wheel import WheelView, wheel_sheet
from service.drawings.wheel_frame import Writing

_FORM = {"asme_b29_1": "ASME B29.1, standard form", "iso_606": "ISO 606, {} tooth gap"}


def draw_wheel(
    given: SprocketGeometryInput, result: SprocketGeometryResult, answer: SprocketGeometryAnswer, *, upright: bool
) -> Drawing:
    """The sheet of a wheel."""
    wheel = result.wheel
    facts = _facts(given, answer)
    name = given.chain.designation
    writing = Writing(
        title=f"Chain wheel {name}, {given.teeth} teeth",
        description=(
            f"Front view to scale of a wheel with {given.teeth} teeth for chain {name}, with its pitch circle, "
            f"axes and the caliper dimension C. {'; '.join(f'{label}: {value}' for label, value in facts)}."
        ),
        facts=tuple(facts),
        notes=notes_of(answer),
    )
    view = WheelView(
        writing=writing,
        gap=result.openings.gap,
        teeth=given.teeth,
        tip_diameter_mm=wheel.tip_diameter_mm,
        pitch_diameter_mm=wheel.pitch_diameter_mm,
        root_diameter_mm=wheel.root_diameter_mm,
        cuts=cuts_of(given.openings, result.openings),
    )
    return partial(wheel_sheet, view, upright=upright)


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
    return facts + opening_facts(result.openings, kerf_stated=True)
