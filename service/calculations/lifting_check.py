"""Check of chain that lifts: tension of one chain, strength or working load limit against it, and the sheave."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.trace import Check, Outcome, Trace
from service.core.conversions import FREE_FALL_M_S2
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.lifting import load_per_chain, required_tensile_strength, sheave_diameter
from service.core.round_link import HoistDrive, force, stress, working_load_limit
from service.reference.chains import OWN
from service.reference.records import Record, replace
from service.reference.round_link import USE_OF_SERIES, hoist_limits

if TYPE_CHECKING:
    from service.reference.chains import Chains, ChainSize
    from service.reference.conveyor_factors import TemperatureRow
    from service.reference.loader import Table
    from service.reference.round_link import WorkingLoadLimitRow
    from service.reference.strength_rules import StrengthRules

Shock = Literal["smooth", "some_shock", "heavy_shock"]
LoadShare = Literal["equalised", "each_takes_all"]

ChainType = Literal["T", "DAT", "DT"]
Grade = Literal["30", "43", "70", "80", "100"]
LiftStatus = Literal["within_entered_limits", "outside_entered_limits", "not_assessable"]

GRADES_NOT_FOR_OVERHEAD_LIFTING = ("30", "43", "70")
"""Carbon steel grades; common practice of the trade, recalled."""
BREAKING_STRESS_N_MM2 = 800.0
"""Mean stress at the breaking force of grade T, which hoist chain of EN 818-7 is (en-818-2, secondary)."""
LIFTING_FAMILIES = ("leaf", "roller", "hoist_roller", "round_link")


class LiftingCheckInput(Record, frozen=True, kw_only=True):
    """A load, how it hangs, and the chain that carries it."""

    chain: ChainSize
    mass_kg: float
    chain_lines: int
    reeving: int | None = None
    load_share: LoadShare | None = None
    acceleration_m_s2: float | None = None
    efficiency: float | None = None
    shock: Shock | None = None
    safety_factor: float | None = None
    sheave_diameter_mm: float | None = None
    hoist_drive: HoistDrive | None = None
    chain_type: ChainType | None = None
    grade: Grade | None = None
    marked_limit_kg: float | None = None
    temperature_c: float | None = None
    lifts_people: bool = False


class LiftingCheckResult(Record, frozen=True, kw_only=True):
    """Tension of one chain and what it is set against; None where it does not apply."""

    status: LiftStatus
    tension_n: float
    chain_travel_ratio: int
    minimum_tensile_strength_n: float | None = None
    required_tensile_strength_n: float | None = None
    factor: float | None = None
    working_load_limit_kg: float | None = None
    load_of_chain_kg: float | None = None
    load_of_hoist_kg: float | None = None
    link_stress_n_mm2: float | None = None
    least_sheave_diameter_mm: float | None = None


class LiftingTables(Record, frozen=True):
    """The tables that a lifting check reads."""

    chains: Chains
    rules: StrengthRules
    limits: Table[WorkingLoadLimitRow]
    temperatures: Table[TemperatureRow]


def lifting_check(
    given: LiftingCheckInput, tables: LiftingTables, *, keep_steps: bool = False
) -> Outcome[LiftingCheckResult]:
    """Whether the figures of a lift stay within the limits that were entered or printed; never a permission.

    Raises:
        OutOfRange: people are lifted, or a factor or grade is refused.
        MoreNeeded: reeving, safety factor, kind of drive, chain type or grade is missing.
        Inconsistent: sling chain on a hoist, or a breaking force marked as a limit.
        NotInReference: the tables hold no strength or limit for the case.
    """
    trace = Trace(keep_steps=keep_steps)
    _refuse_out_of_scope(given)
    trace.caution(
        "overhead_lifting",
        "competent_person",
        "hoist_maker_first",
        "isolate_and_lock_off",
        "stored_energy",
        "no_people",
        "local_codes",
    )
    tension = _tension(given, trace)
    check = _round_link if given.chain.row.family == "round_link" else _plate_chain
    result = check(given, tension, tables, trace)
    if _beyond_ordinary_temperature(given, tables, trace):
        result = replace(result, status="not_assessable")
    return Outcome(result, trace)


def _beyond_ordinary_temperature(given: LiftingCheckInput, tables: LiftingTables, trace: Trace) -> bool:
    """Whether the chain is colder or hotter than steel chain keeps its whole strength; no print rates it there."""
    if given.temperature_c is None:
        return False
    row = next(row for row in tables.temperatures.rows if row.factor == 1)
    if row.least_c <= given.temperature_c < row.greatest_c:
        return False
    trace.row(row, "temperatures at which steel chain keeps its strength")
    trace.warn(
        "temperature_outside",
        f"At {given.temperature_c:g} degC no print held here rates lifting chain, so its strength is that of chain at"
        f" {row.least_c:.0f} to {row.greatest_c:.0f} degC and the status is left open. The maker's manual"
        " says what is left.",
        severity="danger",
        field="temperature_c",
    )
    return True


def _refuse_out_of_scope(given: LiftingCheckInput) -> None:
    if given.lifts_people:
        message = "Lifting people follows rules of its own and needs a competent body; it is not computed here."
        raise OutOfRange(Issue("lifts_people", "out_of_scope_safety", message))
    if given.chain.row.family not in LIFTING_FAMILIES:
        message = (
            f"{given.chain.designation} is no chain for lifting; leaf, roller and round-link chain are checked here."
        )
        raise OutOfRange(Issue("chain", "rule_not_applicable", message, None, given.chain.designation))
    if given.grade in GRADES_NOT_FOR_OVERHEAD_LIFTING:
        message = f"Chain of grade {given.grade} is not made for overhead lifting."
        hint = "Use hoist or sling chain of the grade that the machine or sling standard asks for."
        raise OutOfRange(Issue("grade", "grade_not_for_overhead_lifting", message, None, given.grade, hint))
    if given.reeving is None:
        message = (
            "Say how each chain is reeved: 1 where the load hangs on one fall, 2 where it hangs in a block on two."
        )
        hint = "With two falls the chain carries half the load and runs twice as far as the load."
        raise MoreNeeded(Issue("reeving", "reeving_missing", message, None, None, hint))


def _tension(given: LiftingCheckInput, trace: Trace) -> float:
    """Greatest tension of one chain; with several chains and no word on sharing, each is counted with all."""
    sharing = given.chain_lines if given.load_share == "equalised" else 1
    if given.chain_lines > 1 and given.load_share is None:
        trace.warn(
            "load_share_unstated",
            f"Nothing says that the {given.chain_lines} chains share the load evenly, so each is checked with all of "
            "it; send load_share where an equaliser sees to it.",
            field="load_share",
        )
    acceleration, efficiency = given.acceleration_m_s2, given.efficiency
    if acceleration is None:
        acceleration = 0.0
        trace.assume("acceleration_m_s2", 0.0, "default", "starting and braking are left to the shock factor")
    if efficiency is None:
        efficiency = 1.0
        trace.assume("efficiency", 1.0, "default", "losses in wheels left out")
    return trace.take(
        load_per_chain,
        mass_kg=given.mass_kg,
        acceleration_m_s2=acceleration,
        falls=sharing * (given.reeving or 1),
        efficiency=efficiency,
    )


def _load_of_hoist(given: LiftingCheckInput, trace: Trace) -> float | None:
    """What hangs on all chains and falls, as a mass: the marking of a hoist speaks of that. None without a marking."""
    if given.marked_limit_kg is None:
        return None
    force_n = trace.take(
        load_per_chain,
        mass_kg=given.mass_kg,
        acceleration_m_s2=given.acceleration_m_s2 or 0.0,
        falls=1,
        efficiency=1.0,
    )
    return force_n / FREE_FALL_M_S2


def _warn_of_unused(given: LiftingCheckInput, fields: tuple[str, ...], why: str, trace: Trace) -> None:
    for field in fields:
        if getattr(given, field) is not None:
            name = field.removesuffix("_mm")
            trace.warn("not_used", f"{name} had no effect: {why}", field=field)


def _plate_chain(given: LiftingCheckInput, tension: float, tables: LiftingTables, trace: Trace) -> LiftingCheckResult:
    if given.safety_factor is None:
        raise MoreNeeded(_factor_required(tables.rules))
    strength = trace.figure(given.chain, "minimum_tensile_strength")
    _warn_of_other_strengths(given, strength, trace)
    _warn_of_look_alike(given.chain, tables.chains, trace)
    needed = trace.take(
        required_tensile_strength,
        tension_n=tension,
        service_factor=_service_factor(given, tables.rules, trace),
        safety_factor=given.safety_factor,
    )
    trace.check(Check("minimum_tensile_strength", strength, needed, "force", sense="at_least"))
    load_of_hoist = _load_of_hoist(given, trace)
    if load_of_hoist is not None and given.marked_limit_kg is not None:
        trace.check(Check("working_load_limit", load_of_hoist, given.marked_limit_kg, "mass"))
    why = "leaf and roller chain are set against the factor of your rule."
    _warn_of_unused(given, ("hoist_drive", "chain_type", "grade"), why, trace)
    least = _sheave(given, trace)
    trace.caution("breaking_load_is_not_a_working_load", "never_repair_lifting_chain")
    return LiftingCheckResult(
        status=_status(trace),
        tension_n=tension,
        chain_travel_ratio=given.reeving or 1,
        minimum_tensile_strength_n=strength,
        required_tensile_strength_n=needed,
        factor=strength / tension,
        working_load_limit_kg=given.marked_limit_kg,
        load_of_hoist_kg=load_of_hoist,
        least_sheave_diameter_mm=least,
    )


def _status(trace: Trace) -> LiftStatus:
    return "within_entered_limits" if all(check.passes for check in trace.checks) else "outside_entered_limits"


def _factor_required(rules: StrengthRules) -> Issue:
    quoted = "; ".join(
        f"{row.factor_min:g} for {row.use} ({row.confidence})"
        for row in rules.lifting_factors.rows
        if row.source_id in ("trade-lift-truck-articles", "directive-2006-42-ec") and "chain" in row.use
    )
    message = "There is no general safety factor for lifting: send the one that your machine's standard asks for."
    return Issue("safety_factor", "factor_required", message, None, None, f"Printed elsewhere: {quoted}.")


def _service_factor(given: LiftingCheckInput, rules: StrengthRules, trace: Trace) -> float:
    if given.shock is None:
        raise MoreNeeded(
            Issue(
                "shock",
                "shock_missing",
                "Say how the load comes on: smooth, some_shock as on lift trucks, or heavy_shock.",
            )
        )
    row = next(row for row in rules.leaf_service_factors.rows if row.shock == given.shock)
    trace.row(row, "service factor of leaf chain")
    return row.factor


def _warn_of_other_strengths(given: LiftingCheckInput, strength: float, trace: Trace) -> None:
    others = [
        figure.value
        for figure in given.chain.figures
        if figure.quantity == "minimum_tensile_strength" and figure.value < strength
    ]
    if others:
        trace.warn(
            "sources_disagree",
            f"Another source gives {given.chain.designation} only {min(others) / 1000:g} kN of tensile strength; where "
            "the edition or make is uncertain, use that.",
            field="chain",
        )


def _warn_of_look_alike(chain: ChainSize, chains: Chains, trace: Trace) -> None:
    """LL counts the pitch in sixteenths of an inch and BL in eighths, so that one number means two chains."""
    swapped = {"ll": "BL", "bl": "LL"}.get(chain.row.series)
    other = None if swapped is None else chains.find(swapped + chain.designation[2:])
    if other is not None:
        pitches = (chain.figure("pitch").value, other.figure("pitch").value)
        trace.warn(
            "look_alike",
            f"{chain.designation} has a pitch of {pitches[0]:g} mm and {other.designation} one of {pitches[1]:g} mm; "
            "measure before you trust the stamp.",
            severity="info",
            field="chain",
        )


def _sheave(given: LiftingCheckInput, trace: Trace) -> float | None:
    if given.chain.row.family != "leaf":
        return None
    least = trace.take(sheave_diameter, pitch_mm=trace.figure(given.chain, "pitch"))
    if given.sheave_diameter_mm is not None and not trace.check(
        Check("sheave_diameter", given.sheave_diameter_mm, least, "length", sense="at_least")
    ):
        trace.warn(
            "sheave_small",
            f"The sheave of {given.sheave_diameter_mm:g} mm is below five pitches, {least:g} mm; the joints wear "
            "faster and the plates bear on few points.",
            field="sheave_diameter_mm",
        )
    return least


def _round_link(given: LiftingCheckInput, tension: float, tables: LiftingTables, trace: Trace) -> LiftingCheckResult:
    use = USE_OF_SERIES.get(given.chain.row.series)
    if use == "sling":
        message = f"{given.chain.designation} is sling chain: its tables do not serve a hoist, and it runs on no wheel."
        raise Inconsistent(Issue("chain", "rule_not_applicable", message, None, given.chain.designation))
    if use == "not_for_lifting":
        message = f"{given.chain.designation} is held here as chain that must not lift."
        raise OutOfRange(Issue("chain", "grade_not_for_overhead_lifting", message, None, given.chain.designation))
    diameter = trace.figure(given.chain, "wire_diameter")
    limit = _limit(given, diameter, tables, trace)
    load = tension / FREE_FALL_M_S2
    load_of_hoist = _load_of_hoist(given, trace)
    why = "hoist chain is set against its working load limit, which holds its factors."
    _warn_of_unused(given, ("safety_factor", "shock", "sheave_diameter_mm"), why, trace)
    trace.check(Check("working_load_limit", load if load_of_hoist is None else load_of_hoist, limit, "mass"))
    return LiftingCheckResult(
        status=_status(trace),
        tension_n=tension,
        chain_travel_ratio=given.reeving or 1,
        working_load_limit_kg=limit,
        load_of_chain_kg=load,
        load_of_hoist_kg=load_of_hoist,
        link_stress_n_mm2=trace.take(stress, force_kn=tension / 1000, diameter_mm=diameter),
    )


def _limit(given: LiftingCheckInput, diameter: float, tables: LiftingTables, trace: Trace) -> float:
    if given.hoist_drive is None:
        raise MoreNeeded(
            Issue("hoist_drive", "drive_kind_missing", "Say whether the hoist is driven by hand or by power.")
        )
    if given.marked_limit_kg is not None:
        _check_marking(given.marked_limit_kg, given.chain_lines * (given.reeving or 1), diameter)
        trace.assume("working_load_limit", given.marked_limit_kg, "given", "kg; marking or manual of the hoist")
        return given.marked_limit_kg
    if given.chain.row.source_id == OWN:
        message = f"The tables rate no chain of your own: the limit of {given.chain.designation} is that of its hoist."
        hint = "Send marked_limit, as marked on the hoist or printed in its manual."
        raise MoreNeeded(Issue("marked_limit_kg", "field_required", message, None, None, hint))
    if given.chain_type is None:
        hint = "The marking on the chain or the plate of the hoist says it."
        raise MoreNeeded(
            Issue("chain_type", "grade_needed", "Say which type the chain is: T, DAT or DT.", None, None, hint)
        )
    standard = given.chain.row.standard
    limit = trace.take(
        working_load_limit,
        chain_type=given.chain_type,
        diameter_mm=diameter,
        hoist_drive=given.hoist_drive,
        rows=hoist_limits(tables.limits, standard),
    )
    for row in tables.limits.rows:
        if (row.standard, row.chain_type, row.diameter_mm) == (standard, given.chain_type, diameter):
            trace.row(row, f"working load limit of type {row.chain_type}")
    trace.warn(
        "maker_limit_missing",
        "The printed limit was used; the limit marked on the hoist or in its manual comes first.",
        field="marked_limit_kg",
    )
    return limit


def _check_marking(marked_kg: float, falls: int, diameter: float) -> None:
    """Refuse a limit that can only be a breaking force of the falls together."""
    broken_kn = force(diameter_mm=diameter, stress_n_mm2=BREAKING_STRESS_N_MM2)
    if marked_kg * FREE_FALL_M_S2 / 1000 >= broken_kn * falls / 2:
        falls_of = "a link" if falls == 1 else f"{falls} falls of links"
        message = (
            f"{marked_kg:g} kg is at least half of what breaks {falls_of} of {diameter:g} mm; it cannot be a working "
            "load limit."
        )
        raise Inconsistent(Issue("marked_limit_kg", "breaking_load_is_not_working_load", message, None, marked_kg))
