"""What is written on the drawing of a silent-chain wheel, taken from its answer, so that both say the same."""

from __future__ import annotations

from functools import partial

from msgspec import UnsetType

from service.api.drawings import Drawing, measure, notes_of
from service.api.quantities import Presenter
from service.api.silent_sprocket_answers import SilentSprocketAnswer
from service.api.wheel_opening_drawings import cuts_of, opening_facts
from service.calculations.silent_wheel import SilentWheelInput, SilentWheelResult, no_contour
from service.drawings.wheel import WheelView, wheel_sheet
from service.drawings.wheel_frame import Writing


def draw_silent_wheel(
    given: SilentWheelInput,
    result: SilentWheelResult,
    answer: SilentSprocketAnswer,
    presenter: Presenter,
    *,
    upright: bool,
) -> Drawing:
    """The sheet of a wheel.

    Raises:
        NotInReference: its contour is not known.
    """
    contour = result.contour
    if contour is None:
        raise no_contour(given, result.diameters)
    name, shown = given.chain.designation, answer.result
    facts = [("Chain", name), ("Teeth", str(given.teeth)), ("Tooth top", given.tooth_top)]
    facts += [
        (label, measure(value))
        for label, value in (
            ("Pitch", shown.pitch),
            ("Pitch diameter", shown.pitch_diameter),
            ("Outside diameter", shown.outside_diameter),
            ("Over gauge pins", shown.over_pins),
            ("    pins of", shown.gauge_pin_diameter),
            ("Base of working face", shown.working_face_base_diameter),
            ("Root diameter, as sent", presenter.length(contour.root_diameter_mm)),
            ("C  Over two roots", presenter.length(contour.over_roots_mm)),
            ("Hub diameter, at most", shown.hub_diameter_max),
        )
        if not isinstance(value, UnsetType)
    ]
    writing = Writing(
        title=f"Silent-chain wheel {name}, {given.teeth} teeth",
        description=(
            f"Front view to scale of a wheel with {given.teeth} teeth for silent chain {name}, with its pitch "
            "circle, axes and the dimension C over the roots of two gaps."
        ),
        facts=tuple(facts + opening_facts(shown.openings, kerf_stated=True)),
        notes=notes_of(answer),
    )
    openings = result.openings
    view = WheelView(
        writing=writing,
        gap=contour.gap if openings is None else openings.gap,
        teeth=given.teeth,
        tip_diameter_mm=contour.outside_diameter_mm,
        pitch_diameter_mm=result.pitch_diameter_mm,
        root_diameter_mm=contour.root_diameter_mm,
        cuts=cuts_of(given.openings, openings),
    )
    return partial(wheel_sheet, view, upright=upright)
