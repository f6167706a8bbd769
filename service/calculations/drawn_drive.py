"""What a drive that exists or is drawn says of itself: the ratio of its teeth, and its centres by pitch count."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.centres import overlap_issues, touching_issue
from service.calculations.drive_duty import DriveDuty, OwnService, SettledDuty, settle_duty
from service.calculations.drive_layout import Centres
from service.calculations.drive_relations import Wheels
from service.calculations.drive_warnings import WarnedFields
from service.core.chain_length import centre_distance_exact, touching_centre_distance
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.calculations.drive_tables import DriveTables
    from service.calculations.trace import Trace

TEETH_GEOMETRIC_MIN = 5
"""Fewer teeth make no wheel that a chain bends round; a rule of this project."""

RATIO_AGREEMENT = 0.02
"""Speeds from a nameplate and the ratio of the teeth agree within this share."""


class DrawnDrive(Record, frozen=True, kw_only=True):
    """Wheels and shafts of a drive."""

    driver_teeth: int
    driven_teeth: int
    centre_distance_mm: float | None
    pitch_count: int | None

    @property
    def wheels(self) -> Wheels:
        """Its wheels."""
        return Wheels.of(self.driver_teeth, self.driven_teeth)

    @property
    def small_field(self) -> str:
        """Name of the tooth count that is the small one."""
        return "driver_teeth" if self.driver_teeth <= self.driven_teeth else "driven_teeth"

    @property
    def places(self) -> WarnedFields:
        """Where the warnings about its wheels and its length point."""
        large = "driven_teeth" if self.driver_teeth <= self.driven_teeth else "driver_teeth"
        return WarnedFields(self.small_field, large, "pitch_count")

    def centres_at(self, centre_mm: float) -> Centres:
        """The centres with the offset link that an odd pitch count needs."""
        return Centres(centre_mm, None, self.pitch_count is not None and self.pitch_count % 2 == 1)


def check_prefix(at: str) -> str:
    """How the checks of a duty begin, by where it stands in the request."""
    return "" if at == "duty" else "changed_"


def check_wheels(drawn: DrawnDrive) -> None:
    """Refuse tooth counts that make no wheel.

    Raises:
        OutOfRange: code ``teeth_below_minimum``.
    """
    issues = [
        Issue(
            name,
            "teeth_below_minimum",
            f"{teeth} teeth make no usable wheel; {TEETH_GEOMETRIC_MIN} are the least, and ratings begin higher.",
            TEETH_GEOMETRIC_MIN,
            teeth,
        )
        for name, teeth in (("driver_teeth", drawn.driver_teeth), ("driven_teeth", drawn.driven_teeth))
        if teeth < TEETH_GEOMETRIC_MIN
    ]
    if issues:
        raise OutOfRange(*issues)


def settle_by_teeth(
    drawn: DrawnDrive,
    duty: DriveDuty,
    tables: DriveTables,
    trace: Trace,
    *,
    service: OwnService | None = None,
) -> SettledDuty:
    """The duty with the ratio of the teeth, after comparing it with the speeds that were sent.

    Raises:
        Inconsistent: the teeth contradict speeds or ratio.
        EngineeringError: as ``settle_duty``.
    """
    ratio = drawn.driven_teeth / drawn.driver_teeth
    asked = duty.ratio
    if duty.driven_speed_rpm is not None:
        asked = duty.driver_speed_rpm / duty.driven_speed_rpm
    if asked is not None and abs(asked / ratio - 1.0) > RATIO_AGREEMENT:
        raise Inconsistent(_contradiction(drawn, duty, asked, ratio))
    return settle_duty(replace(duty, ratio=ratio, driven_speed_rpm=None), tables, trace, service=service)


def _contradiction(drawn: DrawnDrive, duty: DriveDuty, asked: float, ratio: float) -> Issue:
    if abs(asked * ratio - 1.0) <= RATIO_AGREEMENT:
        return Issue(
            "driver_teeth",
            "driver_driven_swapped_suspect",
            f"The speeds ask for a ratio of {asked:.3g}, {drawn.driver_teeth} and {drawn.driven_teeth} teeth give "
            f"{ratio:.3g}: driver and driven wheel seem exchanged.",
            None,
            drawn.driver_teeth,
            "Exchange the tooth counts or the speeds.",
        )
    by_speeds = duty.driven_speed_rpm is not None
    asks, field = ("speeds sent ask", "driven_speed_rpm") if by_speeds else ("ratio sent asks", "ratio")
    return Issue(
        f"{duty.at}.{field}",
        "ratio_inconsistent" if by_speeds else "over_determined",
        f"The {asks} for a ratio of {asked:.4g}, but {drawn.driver_teeth} and {drawn.driven_teeth} teeth "
        f"give {ratio:.4g}.",
        ratio,
        asked,
        f"Leave the {'driven speed' if by_speeds else 'ratio'} out: it follows from the teeth.",
    )


def settle_drawn_centres(drawn: DrawnDrive, pitch_mm: float, outside_mm: Callable[[int], float] | None = None) -> float:
    """Centre distance as sent, or that of the pitch count; wheels that would touch are refused.

    ``outside_mm`` gives the diameter over tips, or over the chain, of a tooth count; without it the pitch circles
    alone are compared.

    Raises:
        MoreNeeded, Inconsistent: neither centre distance nor pitch count was sent, or both.
        OutOfRange: the wheels overlap or touch.
        NoSolution: the chain does not go round them.
    """
    small, large = drawn.wheels.small, drawn.wheels.large
    if small < TEETH_GEOMETRIC_MIN:
        return 0.0  # told with the teeth
    if drawn.pitch_count is not None:
        if drawn.centre_distance_mm is not None:
            message = "Send centre_distance or pitch_count: they determine each other."
            raise Inconsistent(Issue("pitch_count", "over_determined", message))
        centres = centre_distance_exact(pitch_count=drawn.pitch_count, teeth_small=small, teeth_large=large)
        centres_mm = centres * pitch_mm
    elif drawn.centre_distance_mm is not None:
        centres_mm = drawn.centre_distance_mm
    else:
        message = "Send centre_distance or pitch_count of the drive."
        raise MoreNeeded(Issue("centre_distance_mm", "field_required", message))
    field = "centre_distance_mm" if drawn.pitch_count is None else "pitch_count"
    circles_mm = touching_centre_distance(teeth_small=small, teeth_large=large) * pitch_mm
    if centres_mm <= circles_mm:
        issues = overlap_issues(field, centres_mm, circles_mm)
        # A count has no unit that could be wrong.
        raise OutOfRange(*(issues if drawn.pitch_count is None else issues[:1]))
    if outside_mm is not None and centres_mm <= (outside_mm(small) + outside_mm(large)) / 2.0:
        raise OutOfRange(touching_issue(field, centres_mm, outside_mm(small), outside_mm(large)))
    return centres_mm
