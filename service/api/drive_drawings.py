"""What is written on the layout of a drive, taken from its answer, so that both say the same."""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

from service.api.drawings import Drawing, measure
from service.api.pull_drive_fields import present_pull
from service.api.quantities import Presenter
from service.calculations.drive_check import DriveCheckInput, DriveCheckResult
from service.calculations.drive_option import DriveOption
from service.calculations.drive_relations import Wheels
from service.calculations.pull_check import PullPoint
from service.calculations.pull_drive import PullOption
from service.calculations.silent_check import SilentPoint
from service.calculations.silent_drive import SilentOption
from service.core.loops import Wheel, path
from service.core.sprocket import pitch_diameter
from service.drawings.layout import ENVELOPE_NOTE, LayoutView, layout_sheet

_POSITION = "Drawn with level centres and the slack strand below, as is advised; the true position is not known here."
_PITCH_CIRCLES = "The outsides of these wheels are not known here: the circles drawn are the pitch circles alone."


class _Outline(NamedTuple):
    """What is drawn of a drive, and what is written beside it."""

    chain: str
    pitch_mm: float
    wheels: Wheels
    centre_mm: float
    small_outside_mm: float
    large_outside_mm: float
    facts: list[tuple[str, str]]
    note: str | None = None


def draw_drive(
    given: DriveCheckInput, result: DriveCheckResult, presenter: Presenter, notes: tuple[str, ...]
) -> Drawing:
    """The sheet of a drive, the driver left and turning so that the upper strand pulls."""
    drawn = _outline(result, presenter)
    driver, driven = drawn.wheels.driver, drawn.wheels.driven
    outside = {drawn.wheels.small: drawn.small_outside_mm, drawn.wheels.large: drawn.large_outside_mm}
    wheels = tuple(
        Wheel(
            x_mm=x_mm,
            y_mm=0.0,
            pitch_radius_mm=pitch_diameter(pitch_mm=drawn.pitch_mm, teeth=teeth) / 2,
            outside_radius_mm=outside[teeth] / 2,
            teeth=teeth,
            side="inside",
        )
        for x_mm, teeth in ((0.0, driver), (drawn.centre_mm, driven))
    )
    plates = given.chain.find("inner_plate_height")
    centres = measure(presenter.length(drawn.centre_mm))
    return partial(
        layout_sheet,
        LayoutView(
            title=f"Drive {drawn.chain}, {driver} to {driven} teeth",
            description=(
                f"Layout to scale of a drive with chain {drawn.chain}, {driver} teeth on the driver and {driven} on "
                f"the driven wheel, {centres} apart: pitch circles, outsides, senses of rotation, tight and slack "
                "strand, and in dashes what a guard has to enclose."
            ),
            wheels=wheels,
            loop=path(wheels=wheels, pitch_mm=drawn.pitch_mm, travel="counter_clockwise"),
            driver=0,
            half_height_mm=0.0 if plates is None else plates.value / 2,
            centre_distance=centres,
            facts=tuple(drawn.facts),
            notes=(_POSITION, *((drawn.note,) if drawn.note else ()), ENVELOPE_NOTE, *notes),
        ),
    )


def _outline(result: DriveCheckResult, presenter: Presenter) -> _Outline:
    point = result.point
    if isinstance(point, SilentPoint):
        return _silent(point.option, presenter)
    if isinstance(point, PullPoint):
        return _pull(point.option, presenter)
    return _roller(point.option, presenter)


def _roller(option: DriveOption, presenter: Presenter) -> _Outline:
    length, wheels = presenter.length, option.wheels
    small, large = option.small_outside_diameter_mm, option.large_outside_diameter_mm
    driver, driven = (small, large) if wheels.driver <= wheels.driven else (large, small)
    turns = _turns(option.driven_speed_rpm, presenter)
    facts = [
        ("Chain", f"{option.designation}, {option.pitch_count} pitches{', offset link' if option.offset_link else ''}"),
        ("Centre distance", f"{measure(length(option.centre_distance_mm))}, taut"),
        ("Travel for wear", measure(length(option.centre_distance_growth_mm))),
        ("Wheel 1, driver", f"{wheels.driver} teeth, outside {measure(length(driver))}"),
        ("Wheel 2, driven", f"{wheels.driven} teeth, outside {measure(length(driven))}, {turns}"),
        *_common_facts(option.wrap_small_deg, option.chain_speed_m_s, option.forces.pull_n, presenter),
        ("Utilisation", f"{option.utilisation:.2f} of the rating"),
    ]
    centre_mm, pitch_mm = option.centre_distance_mm, option.chain.pitch_mm
    return _Outline(option.designation, pitch_mm, wheels, centre_mm, small, large, facts)


def _silent(option: SilentOption, presenter: Presenter) -> _Outline:
    length, wheels = presenter.length, option.wheels
    small, large = option.small_diameter_over_chain_mm, option.large_diameter_over_chain_mm
    driver, driven = (small, large) if wheels.driver <= wheels.driven else (large, small)
    turns = _turns(option.driven_speed_rpm, presenter)
    facts = [
        ("Chain", f"{option.designation}, {option.pitch_count} pitches"),
        ("Centre distance", f"{measure(length(option.centre_distance_mm))}, taut"),
        ("Wheel 1, driver", f"{wheels.driver} teeth, over chain {measure(length(driver))}"),
        ("Wheel 2, driven", f"{wheels.driven} teeth, over chain {measure(length(driven))}, {turns}"),
        *_common_facts(option.wrap_small_deg, option.chain_speed_m_s, option.effective_pull_n, presenter),
        ("Utilisation", f"{option.utilisation:.2f} of the rating"),
    ]
    return _Outline(option.designation, option.width.pitch_mm, wheels, option.centre_distance_mm, small, large, facts)


def _pull(option: PullOption, presenter: Presenter) -> _Outline:
    wheels, drive = option.case.wheels, present_pull(option, presenter)
    facts = [
        ("Chain", f"{drive.chain}, {option.pitch_count} pitches"),
        ("Centre distance", f"{measure(drive.centre_distance)}, taut"),
        ("Wheel 1, driver", f"{wheels.driver} teeth"),
        ("Wheel 2, driven", f"{wheels.driven} teeth, {_turns(option.driven_speed_rpm, presenter)}"),
        *_common_facts(option.wrap_small_deg, option.chain_speed_m_s, option.pull_n, presenter),
        ("Utilisation", f"{option.utilisation:.2f} of the allowable load"),
    ]
    pitch_mm = option.case.size.figure("pitch").value
    small, large = option.small_pitch_diameter_mm, option.large_pitch_diameter_mm
    return _Outline(drive.chain, pitch_mm, wheels, option.centre_distance_mm, small, large, facts, _PITCH_CIRCLES)


def _turns(speed_rpm: float, presenter: Presenter) -> str:
    return measure(presenter.of("rotational_speed")(speed_rpm))


def _common_facts(wrap_deg: float, speed_m_s: float, pull_n: float, presenter: Presenter) -> list[tuple[str, str]]:
    wrap = presenter.of("angle")(wrap_deg)
    return [
        ("Wrap of small wheel", f"{wrap.value:.1f} {wrap.unit}"),
        ("Chain speed", measure(presenter.speed(speed_m_s))),
        ("Effective pull", measure(presenter.force(pull_n))),
    ]
