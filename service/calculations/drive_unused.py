"""What a caller sent of a drive that its kind of chain has no use for; said, so that nothing is dropped in silence."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from service.calculations.drive_check import DriveCheckInput
    from service.calculations.drive_duty import DriveDuty
    from service.calculations.drive_sizing import DriveSizingInput
    from service.calculations.silent_service import SilentLoad
    from service.calculations.sizing_kinds import Kind
    from service.calculations.trace import Trace

_ROLLER_ONLY = "it belongs to the power ratings of roller chain"
_PULL_FACTORS = "the factors of the pull method know none"


def unused_in_check(given: DriveCheckInput, by_pull: set[str], trace: Trace) -> None:
    """Warn of fields of a check without effect; ``by_pull`` are the places of the duties judged by their pull."""
    silent = given.chain.row.family == "silent"
    duties = [duty for duty in (given.duty, given.changed_duty) if duty is not None]
    if not silent and given.silent_load is not None:
        _say("silent_load", f"{given.chain.designation} is not silent chain", trace)
    if silent or all(duty.at in by_pull for duty in duties):
        _unused_editions(given.edition, given.compare_iso_10823, trace)
    for duty in duties:
        if silent:
            _unused_load(duty, given.silent_load, trace)
        elif duty.at in by_pull and given.chain.row.family != "roller":
            _unused(duty, ("prime_mover", "driver_running"), _PULL_FACTORS, trace)
    if silent or all(duty.at in by_pull for duty in duties):
        for name in ("driver_bore_mm", "driven_bore_mm"):
            if getattr(given, name) is not None:
                _say(name, "only hubs on roller chain rated by its power are compared with their bore", trace)
    if silent and given.joint_friction is not None:
        _say("joint_friction", "the joints of silent chain are each maker's own and not tabulated", trace)


def unused_in_sizing(given: DriveSizingInput, kinds: tuple[Kind, ...], trace: Trace) -> None:
    """Warn of fields of a sizing without effect."""
    if "silent" not in kinds and given.silent_load is not None:
        asked = "engineering-class" if kinds == ("engineering",) else "roller"
        _say("silent_load", f"only {asked} chain was asked for", trace)
    if "roller" not in kinds:
        words = "silent" if "silent" in kinds else "engineering-class"
        _unused_editions(given.edition, given.compare_iso_10823, trace)
        for name in ("driver_bore_mm", "driven_bore_mm"):
            if getattr(given.constraints, name) is not None:
                _say(f"constraints.{name}", f"hubs of {words} chain are not compared with their bore here", trace)
    if kinds == ("silent",):
        _unused_load(given.duty, given.silent_load, trace)
    if kinds == ("engineering",):
        _unused(given.duty, ("prime_mover", "driver_running"), _PULL_FACTORS, trace)
        if given.constraints.lubrication_at_hand is not None:
            _say("constraints.lubrication_at_hand", "no table bounds the speed of this chain by its oiling", trace)


def _unused_editions(edition: str, compare_iso_10823: bool, trace: Trace) -> None:  # noqa: FBT001 as the field is
    if edition != "older":
        _say("ratings_edition", _ROLLER_ONLY, trace)
    if compare_iso_10823:
        _say("compare_iso_10823", _ROLLER_ONLY, trace)


def _unused_load(duty: DriveDuty, load: SilentLoad | None, trace: Trace) -> None:
    why = "silent chain has sets of service factors of its own, entered by silent_load"
    by_column = load is not None and load.service_set == "by_drive_and_hours"
    names = ("load_class", "driven_machine", "driver_running")
    _unused(duty, names if by_column else (*names, "prime_mover"), why, trace)


def _unused(duty: DriveDuty, names: tuple[str, ...], why: str, trace: Trace) -> None:
    for name in names:
        if getattr(duty, name) is not None:
            _say(f"{duty.at}.{name}", why, trace)


def _say(field: str, why: str, trace: Trace) -> None:
    name = field.rpartition(".")[2].removesuffix("_mm")
    trace.warn("not_used", f"{name} had no effect: {why}.", severity="info", field=field)
