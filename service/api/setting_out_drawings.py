"""What is written on the drawings of wheels without a published form, taken from their answers."""

from __future__ import annotations

from functools import partial
from math import asin, pi
from typing import TYPE_CHECKING

from msgspec import UnsetType

from service.api.drawings import Drawing, measure, notes_of
from service.api.wheel_opening_drawings import cuts_of, opening_facts
from service.drawings.setting_out import Seats, SettingOutView, setting_out_sheet
from service.drawings.wheel_frame import Writing

if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import Any

    from service.api.answers import Answer
    from service.api.engineering_sprocket_answers import EngineeringSprocketAnswer
    from service.api.plain_wheel_answers import PlainWheelAnswer
    from service.api.pocket_wheel_answers import PocketWheelAnswer
    from service.api.quantities import Quantity
    from service.api.wheel_openings import WheelOpenings
    from service.calculations.engineering_wheel import EngineeringWheelInput, EngineeringWheelResult
    from service.calculations.plain_wheel import PlainWheelInput, PlainWheelResult
    from service.calculations.pocket_wheel import PocketWheelInput, PocketWheelResult
    from service.drawings.sheet import Layer

NO_TEETH = (
    "SETTING-OUT ONLY: no tooth form of this chain is published here. Crosses and thin circles show where the joints "
    "lie and what seats in the gaps; no tooth is drawn, and none may be cut by this sheet."
)
NO_POCKETS = (
    "SETTING-OUT ONLY: no form of the pockets is published here. Thin lines show the axes of the flat links; no pocket "
    "is drawn, and none may be cut by this sheet."
)
CIRCLES_ONLY = "Circles only: the section of rim or flanges is not shown."


def _lengths(*rows: tuple[str, Quantity | UnsetType]) -> list[tuple[str, str]]:
    return [(label, measure(value)) for label, value in rows if not isinstance(value, UnsetType)]


def _writing(
    title: str,
    facts: Iterable[tuple[str, str]],
    shown: WheelOpenings | UnsetType,
    answer: Answer[Any],
    *,
    first: tuple[str, ...],
) -> Writing:
    lines = (*facts, *opening_facts(shown, kerf_stated=not isinstance(shown, UnsetType)))
    return Writing(
        title=title,
        description=f"{title}, front view to scale. {'; '.join(f'{label}: {value}' for label, value in lines)}.",
        facts=lines,
        notes=(*first, *notes_of(answer)),
    )


def draw_engineering_wheel(
    given: EngineeringWheelInput, result: EngineeringWheelResult, answer: EngineeringSprocketAnswer, *, upright: bool
) -> Drawing:
    """The setting-out of a wheel: pitch circle, seats, bottoms of the gaps, blank, hub and openings."""
    name, shown = given.seat.chain.designation, answer.result
    facts = [("Chain", name), ("Teeth", str(given.teeth)), *_lengths(("Pitch", shown.pitch))]
    facts += _lengths(
        ("Second pitch", shown.second_pitch),
        ("Pitch circle, dash and dot", shown.pitch_diameter),
        ("Seats, thin circles", shown.seating_diameter),
    )
    facts.append(("Seats and joints", f"{len(result.joint_angles_rad)}, first at the top"))
    if result.tooth_spacing != "two_pitches":
        facts.append(("From seat to seat", f"{360 / given.teeth:.4f} deg"))
    facts += _lengths(
        ("Bottoms of gaps, short dashes", shown.bottom_diameter),
        ("C  Caliper diameter", shown.caliper_diameter),
        ("Blank as sent, long dashes", shown.blank_diameter),
        ("Hub diameter, at most", shown.hub_diameter_limit),
        ("Tooth width", shown.tooth_width),
    )
    circles: list[tuple[Layer, float]] = []
    if result.bottom_diameter_mm is not None:
        circles.append(("CIRCLES", result.bottom_diameter_mm))
    if result.blank_diameter_mm is not None:
        circles.append(("BLANK", result.blank_diameter_mm))
    caliper = None
    if result.caliper_diameter_mm is not None and result.bottom_diameter_mm is not None:
        caliper = given.teeth, result.bottom_diameter_mm
    title = f"Setting-out of wheel {name}, {given.teeth} teeth"
    view = SettingOutView(
        writing=_writing(title, facts, shown.openings, answer, first=(NO_TEETH,)),
        pitch_diameter_mm=result.pitch_diameter_mm,
        circles=tuple(circles),
        seats=Seats(result.joint_angles_rad, result.seating_diameter_mm),
        caliper=caliper,
        cuts=cuts_of(given.openings, result.openings),
    )
    return partial(setting_out_sheet, view, upright=upright)


def draw_pocket_wheel(
    given: PocketWheelInput, result: PocketWheelResult, answer: PocketWheelAnswer, *, upright: bool
) -> Drawing:
    """The setting-out of a pocket wheel: pitch circle, inscribed circle, axes of the flat links, body and openings."""
    name, shown = given.chain.designation, answer.result
    facts = [("Chain", name), ("Pockets", str(given.pockets))]
    facts += _lengths(
        ("Pitch", shown.pitch),
        ("Wire diameter", shown.wire_diameter),
        ("Pitch circle, dash and dot", shown.pitch_diameter),
        ("Circle on flat links, short dashes", shown.inscribed_diameter),
        ("Chain in a turn", shown.travel_per_turn),
        ("Body as sent, long dashes", shown.body_diameter),
    )
    facts.append(("From pocket to pocket", f"{360 / given.pockets:.4f} deg"))
    # A flat link and its halves of two wires span a chord of p + d on the pitch circle.
    half = asin((result.pitch_mm + result.wire_diameter_mm) / result.pitch_diameter_mm)
    middles = [2 * pi * pocket / given.pockets for pocket in range(given.pockets)]
    links = tuple((middle - half, middle + half) for middle in middles)
    circles: list[tuple[Layer, float]] = [("CIRCLES", result.inscribed_diameter_mm)]
    if result.body_diameter_mm is not None:
        circles.append(("BLANK", result.body_diameter_mm))
    title = f"Setting-out of pocket wheel {name}, {given.pockets} pockets"
    view = SettingOutView(
        writing=_writing(title, facts, shown.openings, answer, first=(NO_POCKETS,)),
        pitch_diameter_mm=result.pitch_diameter_mm,
        circles=tuple(circles),
        seats=Seats(tuple(angle for link in links for angle in link)),
        links=links,
        cuts=cuts_of(given.openings, result.openings),
    )
    return partial(setting_out_sheet, view, upright=upright)


def draw_plain_wheel(
    given: PlainWheelInput, result: PlainWheelResult, answer: PlainWheelAnswer, *, upright: bool
) -> Drawing:
    """A sheave or a traction wheel by its circles, and its openings."""
    name, shown = given.seat.chain.designation, answer.result
    facts = [("Chain", name)]
    circles: list[tuple[Layer, float]] = []
    pitch_diameter = None
    if result.sheave is not None and not isinstance(shown.sheave, UnsetType):
        kind = "Sheave"
        facts += _lengths(
            ("Pitch", shown.pitch),
            ("Tread, long dashes", shown.sheave.tread_diameter),
            ("Tread, at least", shown.sheave.tread_diameter_min),
            ("Flange, at least, short dashes", shown.sheave.flange_diameter_min),
            ("Width between flanges, at least", shown.sheave.width_between_flanges_min),
        )
        circles.append(("BLANK", result.sheave.tread_diameter_mm))
        if result.sheave.flange_diameter_min_mm is not None:
            circles.append(("CIRCLES", result.sheave.flange_diameter_min_mm))
    if result.traction is not None and not isinstance(shown.traction_wheel, UnsetType):
        kind = "Traction wheel"
        facts += _lengths(
            ("Pitch", shown.pitch),
            ("Rim, long dashes", shown.traction_wheel.tread_diameter),
            ("Pitch circle, dash and dot", shown.traction_wheel.pitch_diameter),
            ("Chain in a turn", shown.traction_wheel.travel_per_turn),
        )
        circles.append(("BLANK", result.traction.tread_diameter_mm))
        pitch_diameter = result.traction.pitch_diameter_mm
    view = SettingOutView(
        writing=_writing(f"{kind} for {name}", facts, shown.openings, answer, first=(CIRCLES_ONLY,)),
        pitch_diameter_mm=pitch_diameter,
        circles=tuple(circles),
        cuts=cuts_of(given.openings, result.openings),
    )
    return partial(setting_out_sheet, view, upright=upright)
