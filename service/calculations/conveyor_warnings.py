"""What an engineer should know of a conveyor though it can be worked out, and the cautions that go with it."""

from __future__ import annotations

from math import inf, pi, radians
from typing import TYPE_CHECKING, get_args

from service.calculations.conveyor_input import Boot, Run
from service.calculations.conveyor_limits import LimitName
from service.calculations.trace import Check
from service.core.conversions import FREE_FALL_M_S2, M_S_PER_FT_MIN
from service.core.conveyor_capacity import discharge_speed
from service.core.conveyor_friction import curve_ratio
from service.core.errors import Inconsistent, Issue, OutOfRange
from service.core.number_text import significant
from service.core.slack import sag_tension_n
from service.core.speeds import chordal_speed_variation
from service.reference.chains import OWN

if TYPE_CHECKING:
    from service.calculations.conveyor_input import ConveyorSizingInput
    from service.calculations.conveyor_option import ConveyorOption
    from service.calculations.conveyor_path import ConveyorPath
    from service.calculations.conveyor_sizing import ConveyorSizingResult
    from service.calculations.trace import Trace
    from service.reference.factors import Factors

GREATEST_SPEED_FT_MIN = 1000.0
"""End of the table of speed factors; no conveyor chain is run faster (trade-engineering-factors)."""
FEW_TEETH = 6
"""Least teeth of the table of speed factors; fewer pulsate more than any of its figures covers."""
SAG_EXCESSIVE = 0.06
"""Sag over span beyond which a free strand is called slack (ours); guides advise 2 to 4 per cent."""
LOAD_DECIDES = frozenset(get_args(LimitName))
"""Reasons for which a chain fails under its load, beside those that leave it out beforehand."""
SURGE_TOLD = 0.10
"""Share of the greatest tension above which the pull of polygon action is told (ours)."""
SWING_TOLD = 0.05
"""Swing of the chain speed below which it is not: ten teeth and more (ours)."""
FLAT_DEG = 60.0
"""Beyond this slope a free strand hangs and does not sag (ours)."""


def check_given(given: ConveyorSizingInput, trace: Trace) -> None:
    """Refuse a speed that is no conveyor's, and tell of what the inputs alone make plain.

    Raises:
        OutOfRange: ``speed_beyond_practice``, ``factor_below_minimum``.
        Inconsistent: a fatigue limit told twice.
    """
    limit = GREATEST_SPEED_FT_MIN * M_S_PER_FT_MIN
    if given.chain_speed_m_s > limit:
        speed = given.chain_speed_m_s
        message = f"No conveyor chain runs at {speed:g} m/s; the tables end at {limit:g} m/s."
        hint = f"{speed:g} m/min is {speed / 60:.4g} m/s; {speed:g} ft/min is {speed * M_S_PER_FT_MIN:.4g} m/s."
        raise OutOfRange(Issue("chain_speed_m_s", "speed_beyond_practice", message, limit, speed, hint))
    if given.rules.service_factor is not None and given.rules.service_factor < 1:
        message = f"A service factor of {given.rules.service_factor:g} would make the pull smaller than it is."
        raise OutOfRange(
            Issue("rules.service_factor", "factor_below_minimum", message, 1.0, given.rules.service_factor)
        )
    if given.rules.fatigue_limit_n is not None and given.rules.fatigue_fraction is not None:
        message = "Send fatigue_limit or fatigue_fraction, not both: each says what the chain bears for good."
        raise Inconsistent(Issue("rules.fatigue_fraction", "over_determined", message))
    teeth = given.head_wheel.teeth
    if teeth is not None and given.head_wheel.kind == "toothed" and 3 <= teeth < FEW_TEETH:
        swing = 100.0 * trace.take(chordal_speed_variation, teeth=teeth)
        trace.warn(
            "teeth_few",
            f"A head wheel of {teeth} teeth swings the chain speed by {swing:.3g} per cent with every tooth; six or"
            " more are usual, more where the chain is long or heavy.",
            field="head_wheel.teeth",
        )
    _of_surroundings(given, trace)


def _of_surroundings(given: ConveyorSizingInput, trace: Trace) -> None:
    site, lines = given.site, given.chains.chain_lines
    if site.lubrication == "oil" and (site.abrasive or (site.wet and given.load.carried == "in_trough")):
        trace.warn(
            "lubricant_in_grit",
            "Oil on a chain that runs in grit, above all under water, makes a lapping compound that wears the joints:"
            " run it without, or with closed joints.",
            field="site.lubrication",
        )
    if site.corrosive and site.joints == "hardened":
        trace.warn(
            "material_conflict",
            "Hardened joints stand abrasion but crack and rust where it is corrosive; stainless ones stand corrosion"
            " but wear fast when dry. Decide which of the two ends the chain, and ask for a joint that is closed.",
            field="site.joints",
        )
    renewed = given.chains.lines_renewed
    if renewed is not None and 0 < renewed < lines:
        trace.warn(
            "pair_must_match",
            f"{renewed} of {lines} chains renewed: new chain is shorter than worn, takes more than its share and runs"
            " the slats askew. Renew all chains of a set, from one matched lot, and look at the wheels.",
            field="chains.lines_renewed",
        )


def warn_of_answer(
    given: ConveyorSizingInput, path: ConveyorPath, result: ConveyorSizingResult, factors: Factors, trace: Trace
) -> None:
    """Tell what the worked-out conveyor shows, and name the cautions."""
    _of_choice(given, result, trace)
    _of_discharge(given, result, factors, trace)
    _of_sag(path, result, trace)
    _of_grip(given, result, trace)
    if result.chains:
        _of_best(given, result, trace)
    _cautions(given, path, result, trace)


def _of_choice(given: ConveyorSizingInput, result: ConveyorSizingResult, trace: Trace) -> None:
    if given.chains.mass_kg_m is None and not _own_masses(given):
        assumed = given.chains.mass_where_unknown_kg_m
        rest = ""
        if assumed is not None:
            rest = f" Where they hold none, your {assumed:g} kg/m was taken."
        elif result.conditional_count:
            rest = (
                f" They hold none of {result.conditional_count} chains, which are listed apart with the greatest mass"
                " they may have: send chains.mass_where_unknown to have them judged."
            )
        trace.warn(
            "chain_mass_assumed",
            f"No chain mass was sent, so it was taken from the tables for each chain.{rest}",
            severity="info",
            field="chains.mass_per_length",
        )
    if not result.chains:
        more = f" {result.conditional_count} pass if they are light enough." if result.conditional_count else ""
        trace.warn("no_feasible_option", f"No chain of known mass passes{_main_reason(result)}.{more}")


def _own_masses(given: ConveyorSizingInput) -> bool:
    """Whether all chains asked about are the caller's own and their mass is among the figures sent."""
    chains = given.choice.chains or ()
    return bool(chains) and all(
        size.row.source_id == OWN and size.find("mass_per_length") is not None for size in chains
    )


def _main_reason(result: ConveyorSizingResult) -> str:
    """The most frequent reason; one that the load decides before one that leaves a chain out beforehand."""
    counts = result.rejected_counts
    borne = {name: count for name, count in counts.items() if name in LOAD_DECIDES} or counts
    if not borne:
        return ""
    return f"; most fail for {max(borne, key=lambda name: borne[name]).replace('_', ' ')}"


def _of_discharge(given: ConveyorSizingInput, result: ConveyorSizingResult, factors: Factors, trace: Trace) -> None:
    """Hold the speed of an elevator against the printed speeds of its kind of discharge."""
    buckets = given.load.buckets
    if buckets is None or buckets.discharge is None:
        return
    machine = "elevator_continuous" if buckets.discharge == "continuous" else "elevator_centrifugal"
    row = next(row for row in factors.conveyor.speeds.rows if row.machine == machine)
    trace.row(row, f"speeds of {machine.replace('_', ' ')}")
    least, greatest = (row.speed_min_ft_min or 0.0) * M_S_PER_FT_MIN, row.speed_max_ft_min * M_S_PER_FT_MIN
    if least <= given.chain_speed_m_s <= greatest:
        return
    mark = ""
    if result.chains:
        diameter = result.chains[0].option.head_pitch_diameter_mm
        turns = trace.take(discharge_speed, path_radius_mm=diameter / 2.0)
        mark = (
            f" On the head wheel of {significant(diameter)} mm centrifugal force equals weight at"
            f" {turns * pi * diameter / 60_000:.3g} m/s."
        )
    trace.warn(
        "discharge_suspect",
        f"{given.chain_speed_m_s:g} m/s is outside the {least:.3g} to {greatest:.3g} m/s printed for"
        f" {machine.partition('_')[2]} discharge ({row.material}).{mark}",
        field="chain_speed_m_s",
    )


def _of_sag(path: ConveyorPath, result: ConveyorSizingResult, trace: Trace) -> None:
    """Free spans that hang too deep at the least tension of any state."""
    profile = result.profile
    for index, named in enumerate(path.parts):
        run = named.part
        if not isinstance(run, Run) or run.supported or abs(path.angles_rad[index]) > radians(FLAT_DEG):
            continue
        mass = path.attached_kg_m + profile.chain_mass_kg_m * path.chain_lines
        least = min(min(state.path.tensions_n[index : index + 2]) for state in profile.states)
        sag = inf if least <= 0 else mass * FREE_FALL_M_S2 * run.length_m**2 / (8.0 * least)
        if mass > 0 and sag > SAG_EXCESSIVE * run.length_m:
            wanted = trace.take(
                sag_tension_n, mass_per_length_kg_m=mass, span_m=run.length_m, sag_m=0.03 * run.length_m
            )
            deep = "to any depth" if sag == inf else f"{significant(sag, 3)} m"
            trace.warn(
                "sag_excessive",
                f"The free span {named.name!r} of {run.length_m:g} m sags {deep}; 3 per cent takes"
                f" {significant(wanted)} N. Support it, or take up more.",
                field=f"path.{index}.run.supported",
            )


def _of_grip(given: ConveyorSizingInput, result: ConveyorSizingResult, trace: Trace) -> None:
    """A wheel without teeth drives by friction alone."""
    head = given.head_wheel
    if head.kind != "traction":
        return
    if head.grip_friction is None:
        trace.warn(
            "slip_risk",
            "A traction wheel drives by friction; send head_wheel.grip_friction to have its grip checked.",
            severity="info",
            field="head_wheel.grip_friction",
        )
        return
    holds = trace.take(curve_ratio, friction=head.grip_friction, wrap_rad=radians(head.wrap_deg))
    for state in result.profile.states:
        slack, tight = state.path.tensions_n[0], state.path.tensions_n[-1]
        if max(slack, tight) > holds * min(slack, tight):
            trace.warn(
                "slip_risk",
                f"In the state {state.state} the tensions at the traction wheel are {significant(tight)} and"
                f" {significant(slack)} N; its grip holds a ratio of {holds:.3g}. More slack-side"
                " tension, wrap or friction is needed.",
                field="head_wheel",
            )
            return


def _of_best(given: ConveyorSizingInput, result: ConveyorSizingResult, trace: Trace) -> None:
    best = result.chains[0].option
    for limit in best.limits:
        kind = "stress" if limit.name == "joint_pressure" else "force"
        trace.check(Check(limit.name, limit.actual, limit.allowed, kind, note=f"one chain, {best.chain.designation}"))
    if best.jam_utilisation_of_strength is not None:
        note = "jam tension of one chain over tensile strength"
        trace.check(Check("jam_below_tensile_strength", best.jam_utilisation_of_strength, 1.0, note=note))
    rated = given.drive.motor_power_kw
    if rated is not None and not trace.check(Check("motor_power", best.drive_power_kw, rated, "power")):
        trace.warn(
            "drive_too_small",
            f"The motor of {rated:g} kW is below the {significant(best.drive_power_kw)} kW that"
            f" {best.chain.designation} needs.",
            field="drive.motor_power_kw",
        )
    _of_motion(given, best, trace)
    if best.jam_utilisation_of_strength is not None and best.jam_utilisation_of_strength > 1:
        trace.warn(
            "drive_can_break_chain",
            f"In a jam the drive pulls {best.jam_utilisation_of_strength:.3g} times the tensile strength of"
            f" {best.chain.designation}: fit a limiter within its window, or take a stronger chain.",
            severity="danger",
            field="drive.stall_torque_ratio",
        )
    if best.limiter.allowed_n_m is None:
        trace.warn(
            "peak_rule_missing",
            f"No printed rule says what a single peak may take of the strength of {best.chain.designation}: start and"
            " limiter are not judged. Send rules.peak_fraction.",
            severity="info",
            field="rules.peak_fraction",
        )
    elif best.limiter.window is None and best.limiter.refusal is not None:
        trace.warn("limiter_has_no_window", best.limiter.refusal, field="limiter")
    if best.chain.offset_links and given.chains.running_direction is None:
        trace.warn(
            "direction_not_stated",
            f"{best.chain.designation} has a narrow and a wide end or a hook: state on the order which runs forward.",
            severity="info",
            field="chains.running_direction",
        )


def _of_motion(given: ConveyorSizingInput, best: ConveyorOption, trace: Trace) -> None:
    """A surge that stands out from the pull, and rollers whose load nobody limits."""
    polygon, running = best.polygon, best.greatest_tension_n
    rules = given.rules
    jerked = polygon is not None and polygon.speed_variation > SWING_TOLD
    if polygon is not None and jerked and polygon.surge_pull_n > SURGE_TOLD * running:
        follow, ask = "all", " A chain that stretches lets less follow: send rules.surge_share to have it judged."
        if rules.surge_share is not None:
            follow = f"{100 * rules.surge_share:.3g} per cent of the"
            unjudged = "surge_peak" in best.unjudged
            ask = " To have it judged send rules.peak_fraction, the share of strength of a peak." if unjudged else ""
        trace.warn(
            "polygon_surge",
            f"With each tooth the chain speed swings by {100 * polygon.speed_variation:.3g} per cent; where {follow}"
            f" {significant(polygon.moved_mass_kg)} kg follow, that adds {significant(polygon.surge_pull_n)} N to"
            f" {significant(running)} N.{ask} More teeth or less speed calm it.",
            field="head_wheel.teeth",
        )
    if best.rollers is not None and rules.allowed_roller_load_n is None and rules.allowed_roller_pressure_n_mm2 is None:
        trace.warn(
            "roller_load_not_judged",
            f"A roller of {best.chain.designation} carries {significant(best.rollers.load_n)} N; no table says what it"
            " may carry. Send rules.allowed_roller_load as its maker states it.",
            severity="info",
            field="rules.allowed_roller_load_n",
        )


def _cautions(given: ConveyorSizingInput, path: ConveyorPath, result: ConveyorSizingResult, trace: Trace) -> None:
    trace.caution("guard_the_drive", "isolate_and_lock_off", "stored_energy", "catch_falling_chain")
    if any(angle for angle in path.angles_rad):
        trace.caution("open_chain_runs_away")
    full = next(state for state in result.profile.states if state.state == "full")
    loaded = [path.angles_rad[index] for index in path.loaded_runs()]
    rises = any(angle > 0 for angle in loaded)
    if rises or any(isinstance(named.part, Boot) for named in path.parts):
        trace.caution("backstop_needed")
    if any(angle < 0 for angle in loaded):
        trace.caution("braking_needed")
    if full.path.effective_pull_n < 0:
        trace.warn(
            "drive_must_hold_back",
            f"Fully loaded the conveyor drives itself: the drive must hold back"
            f" {significant(-full.path.effective_pull_n)} N.",
            field="path",
        )
    trace.caution("limiter_is_not_a_safety_device", "jam_clearing")
    if given.load.carried in {"in_trough", "in_buckets"} or given.site.combustible_dust:
        trace.caution("dust_and_gas")
    trace.caution("breaking_load_is_not_a_working_load", "local_codes")
