"""What is written on the layout of a drive, taken from its answer, so that both say the same."""

from __future__ import annotations

from service.api.drawings import measure
from service.api.drive_fields import Drive
from service.calculations.drive_check import DriveCheckInput, DriveCheckResult
from service.core.loops import Wheel, path
from service.core.sprocket import pitch_diameter
from service.drawings.layout import ENVELOPE_NOTE, LayoutView, layout_sheet
from service.drawings.sheet import Sheet

_POSITION = "Drawn with level centres and the slack strand below, as is advised; the true position is not known here."


def draw_drive(given: DriveCheckInput, result: DriveCheckResult, drive: Drive, notes: tuple[str, ...]) -> Sheet:
    """The sheet of a drive, the driver left and turning so that the upper strand pulls."""
    option = result.point.option
    pitch_mm = option.chain.pitch_mm
    outside = {
        option.wheels.small: option.small_outside_diameter_mm,
        option.wheels.large: option.large_outside_diameter_mm,
    }
    wheels = tuple(
        Wheel(
            x_mm=x_mm,
            y_mm=0.0,
            pitch_radius_mm=pitch_diameter(pitch_mm=pitch_mm, teeth=teeth) / 2,
            outside_radius_mm=outside[teeth] / 2,
            teeth=teeth,
            side="inside",
        )
        for x_mm, teeth in ((0.0, option.wheels.driver), (option.centre_distance_mm, option.wheels.driven))
    )
    plates = given.chain.find("inner_plate_height")
    return layout_sheet(
        LayoutView(
            title=f"Drive {drive.chain}, {drive.driver_teeth} to {drive.driven_teeth} teeth",
            description=(
                f"Layout to scale of a drive with chain {drive.chain}, {drive.driver_teeth} teeth on the driver and "
                f"{drive.driven_teeth} on the driven wheel, {measure(drive.centre_distance)} apart: pitch circles, "
                "outsides, senses of rotation, tight and slack strand, and in dashes what a guard has to enclose."
            ),
            wheels=wheels,
            loop=path(wheels=wheels, pitch_mm=pitch_mm, travel="counter_clockwise"),
            driver=0,
            half_height_mm=0.0 if plates is None else plates.value / 2,
            centre_distance=measure(drive.centre_distance),
            facts=tuple(_facts(drive)),
            notes=(_POSITION, ENVELOPE_NOTE, *notes),
        )
    )


def _facts(drive: Drive) -> list[tuple[str, str]]:
    small, large = (measure(drive.small_wheel_outside_diameter), measure(drive.large_wheel_outside_diameter))
    driver, driven = (small, large) if drive.driver_teeth <= drive.driven_teeth else (large, small)
    return [
        ("Chain", f"{drive.chain}, {drive.pitch_count} pitches{', offset link' if drive.offset_link else ''}"),
        ("Centre distance", f"{measure(drive.centre_distance)}, taut"),
        ("Travel for wear", measure(drive.centre_distance_growth)),
        ("Wheel 1, driver", f"{drive.driver_teeth} teeth, outside {driver}"),
        ("Wheel 2, driven", f"{drive.driven_teeth} teeth, outside {driven}, {measure(drive.driven_speed)}"),
        ("Wrap of small wheel", f"{drive.wrap_small_wheel.value:.1f} {drive.wrap_small_wheel.unit}"),
        ("Chain speed", measure(drive.chain_speed)),
        ("Effective pull", measure(drive.effective_pull)),
        ("Utilisation", f"{drive.utilisation:.2f} of the rating"),
    ]
