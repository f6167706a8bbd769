"""Factors and frictions of a conveyor, each the caller's own or from its table, and never from outside a table."""

from __future__ import annotations

import difflib
from math import prod
from typing import TYPE_CHECKING, Literal, get_args

from service.calculations.conveyor_input import Run
from service.calculations.refusals import at_field
from service.core.chain_pull_drive import speed_factor
from service.core.conversions import M_S_PER_FT_MIN
from service.core.conveyor_friction import rolling
from service.core.conveyor_power import chain_share
from service.core.errors import EngineeringError, Inconsistent, Issue, MoreNeeded, NotInReference, OutOfRange
from service.reference.conveyor_factors import ServiceGroup
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.conveyor_input import ChainSet, ConveyorSizingInput, Load, Part, Rollers, Rules
    from service.calculations.trace import Trace
    from service.reference.factors import Factors
    from service.reference.loader import Row

FactorOrigin = Literal["given", "table", "derived", "default"]

SHARES_AGREE = 1e-3
"""Within this the shares of the chains add up to one: thirds may be sent as 0.333 (ours)."""

UPRIGHT_DEG = 90.0
"""A run straight up or down presses on no track."""

FRICTION_IN_PERCENT = 2.0
"""No dry material rubs with more than this; a greater figure was meant as a percentage (ours)."""


class FactorUsed(Record, frozen=True, kw_only=True):
    """A factor that went into the answer, and whose it is."""

    name: str
    value: float
    origin: FactorOrigin
    source_id: str | None = None
    locator: str | None = None
    note: str = ""


class FactorBook:
    """The factors of one answer; each is entered once, with its source."""

    def __init__(self, trace: Trace, factors: Factors) -> None:
        self.trace = trace
        self.factors = factors
        self.used: list[FactorUsed] = []

    def given(self, name: str, value: float) -> float:
        """Enter a factor of the caller."""
        self.used.append(FactorUsed(name=name, value=value, origin="given"))
        return value

    def printed(self, name: str, value: float, row: Row, note: str = "") -> float:
        """Enter a factor of a table."""
        self.trace.row(row, name.replace("_", " "))
        self.used.append(
            FactorUsed(
                name=name,
                value=value,
                origin="table",
                source_id=row.source_id,
                locator=row.locator,
                note=note or row.note,
            )
        )
        return value

    def derived(self, name: str, value: float, note: str) -> float:
        """Enter a factor that follows from others."""
        self.used.append(FactorUsed(name=name, value=value, origin="derived", note=note))
        return value

    def default(self, name: str, value: float, note: str, field: str) -> float:
        """Enter a factor that stands where nothing was sent."""
        self.trace.assume(field, value, "default", note)
        self.used.append(FactorUsed(name=name, value=value, origin="default", note=note))
        return value


def track_friction(given: ConveyorSizingInput, book: FactorBook) -> float:
    """Friction of the chain on its track: the caller's, of its rollers, or by the condition of the table.

    Raises:
        Inconsistent: more than one of the three was sent.
        MoreNeeded: none of them, where a run rests on its track.
    """
    chains = given.chains
    told = [name for name in ("friction", "track", "rollers") if getattr(chains, name) is not None]
    if len(told) > 1:
        message = f"Send one of friction, track and rollers; {' and '.join(told)} determine the friction twice."
        raise Inconsistent(Issue(f"chains.{told[1]}", "over_determined", message))
    if chains.friction is not None:
        question_friction("chains.friction", chains.friction, book.trace)
        return book.given("chain_friction", chains.friction)
    if chains.rollers is not None:
        value = _roller_friction(chains.rollers, book.trace)
        return book.derived("chain_friction", value, "from the rollers that were sent")
    if chains.track is None:
        if not any(_asks_friction(named.part) for named in given.path):
            return book.derived("chain_friction", 0.0, "no run rests on a track without a friction of its own")
        conditions = dict.fromkeys(row.condition for row in book.factors.conveyor.track_frictions.rows)
        raise MoreNeeded(
            Issue(
                "chains.track",
                "friction_missing",
                "Say how the chain runs on its track, or send chains.friction or chains.rollers.",
                hint=f"Conditions of the table: {', '.join(conditions)}.",
            )
        )
    row = book.factors.conveyor.track_frictions.where(condition=chains.track)[0]
    return book.printed("chain_friction", row.friction, row, f"chain {chains.track.replace('_', ' ')}")


def _asks_friction(part: Part) -> bool:
    """Whether a part rests on its track with a friction that it does not tell itself."""
    if not isinstance(part, Run) or not part.supported or part.chain_friction is not None:
        return False
    upright = abs(part.incline_deg or 0.0) == UPRIGHT_DEG or (
        part.lift_m is not None and abs(part.lift_m) == part.length_m
    )
    return not upright


def _roller_friction(rollers: Rollers, trace: Trace) -> float:
    try:
        return trace.take(
            rolling,
            axle_friction=rollers.axle_friction,
            axle_diameter_mm=rollers.axle_diameter_mm,
            roller_diameter_mm=rollers.roller_diameter_mm,
            rolling_arm_mm=rollers.rolling_arm_mm,
            flange_factor=rollers.flange_factor,
        )
    except EngineeringError as refused:
        raise at_field(refused, {"bush_diameter_mm": "axle_diameter_mm"}, "chains.rollers.") from None


def load_friction(load: Load, track: float, book: FactorBook) -> float:
    """Friction of the load: that of the chain where it rides on it, that of the material where it is dragged.

    Raises:
        MoreNeeded: a dragged or pushed load without friction or material.
        NotInReference: the table has no such material.
    """
    if load.friction is not None:
        question_friction("load.friction", load.friction, book.trace)
        return book.given("load_friction", load.friction)
    if load.carried in {"on_chain", "in_buckets", "on_trolleys"}:
        return book.derived("load_friction", track, "the load rides on the chain")
    if load.material is None:
        message = "A load that is dragged or pushed rubs on its bed: send load.friction, or load.material of the table."
        raise MoreNeeded(Issue("load.friction", "friction_missing", message))
    named = material_name(load.material, book.factors)
    rows = book.factors.conveyor.material_frictions.where(material=named)
    if len({row.friction for row in rows}) > 1:
        listed = " and ".join(dict.fromkeys(f"{row.friction:g} ({row.source_id})" for row in rows))
        book.trace.warn(
            "sources_disagree",
            f"Friction of {named} is printed as {listed}; the first, preferred one was used.",
            severity="info",
            field="load.material",
        )
    return book.printed("load_friction", rows[0].friction, rows[0], f"{named} on {rows[0].surface}")


def material_name(text: str, factors: Factors) -> str:
    """The material of the friction table that a text names.

    Raises:
        NotInReference: ``material_unknown`` with the nearest names.
    """
    known = {row.material.lower(): row.material for row in factors.conveyor.material_frictions.rows}
    found = known.get(text.strip().lower())
    if found is not None:
        return found
    near = difflib.get_close_matches(text.strip().lower()[:60], known, n=3, cutoff=0.4)
    hint = f"Nearest: {'; '.join(near)}." if near else "GET /v1/factors/material_frictions lists them."
    message = f"The tables hold no friction of {text[:60]!r}; send load.friction, or name a material of the table."
    raise NotInReference(
        Issue("load.material", "material_unknown", message, None, text[:60], hint),
        nearest=tuple(known[name] for name in near),
    )


def question_friction(field: str, value: float, trace: Trace) -> None:
    """Warn of a friction of nothing, and of one that reads like a percentage."""
    if value == 0:
        trace.warn("friction_zero", "A friction of zero leaves out what most conveyors work against.", field=field)
    elif value > FRICTION_IN_PERCENT:
        trace.warn(
            "fraction_or_percent_suspect",
            f"A friction of {value:g} is beyond any bearing or bed: was {value / 100:g} meant?",
            field=field,
        )


def chain_speed_factor(given: ConveyorSizingInput, book: FactorBook) -> float | None:
    """Factor of speed and teeth on the pull; None where no wheel with teeth drives.

    Raises:
        OutOfRange: ``outside_table``; a blank cell is never filled.
    """
    if given.rules.speed_factor is not None:
        return book.given("speed_factor", given.rules.speed_factor)
    teeth = given.head_wheel.teeth
    if given.head_wheel.kind != "toothed" or teeth is None:
        return None
    speed = given.chain_speed_m_s / M_S_PER_FT_MIN
    points = book.factors.conveyor.speed_factor_points()
    try:
        value = book.trace.take(speed_factor, teeth=teeth, speed_ft_min=speed, points=points)
    except OutOfRange as blank:
        raise OutOfRange(_blank_cell(blank.issues[0], teeth, speed)) from None
    return book.printed(
        "speed_factor", value, book.factors.conveyor.speed_factors.rows[0], f"{teeth} teeth, {speed:.4g} ft/min"
    )


def _blank_cell(issue: Issue, teeth: int, speed_ft_min: float) -> Issue:
    at_teeth = issue.field == "teeth"
    limit = issue.limit
    message = (
        f"The table of speed factors has no cell for {teeth} teeth at {speed_ft_min:.4g} ft/min"
        f" ({speed_ft_min * M_S_PER_FT_MIN:.4g} m/s); it is not prolonged."
    )
    edge = f"The nearest printed edge is {limit:g} {'teeth' if at_teeth else 'ft/min'}. " if limit is not None else ""
    hint = f"{edge}Take other teeth or speed, or send rules.speed_factor of your own."
    field = "head_wheel.teeth" if at_teeth else "chain_speed_m_s"
    received = teeth if at_teeth else speed_ft_min * M_S_PER_FT_MIN
    return Issue(field, "outside_table", message, None, received, hint)


def composite_service_factor(rules: Rules, book: FactorBook) -> float:
    """Product of the service factors of the conditions told, one of each group; one where a group is left out."""
    if rules.service_factor is not None:
        return book.given("service_factor", rules.service_factor)
    values = []
    for group in get_args(ServiceGroup):
        condition = rules.conditions.get(group)
        if condition is None:
            values.append(book.default(f"service_factor_{group}", 1.0, "no condition told", f"rules.{group}"))
            continue
        row = book.factors.conveyor.service_factors.where(group=group, condition=condition)[0]
        values.append(book.printed(f"service_factor_{group}", row.factor, row, condition.replace("_", " ")))
    if not rules.conditions:
        book.trace.warn(
            "service_conditions_missing",
            "No service conditions were sent, so the working load is judged as for even load, clean, short hours.",
            severity="info",
            field="rules",
        )
    return prod(values)


def share_of_one_chain(chains: ChainSet, book: FactorBook) -> float:
    """Share of the whole pull that the most loaded chain is chosen on.

    Raises:
        Inconsistent: ``share_not_sum_one``, or not one share for each chain.
    """
    shares = chains.shares
    if shares is None:
        value = book.trace.take(chain_share, chain_count=chains.chain_lines)
        if chains.chain_lines > 1:
            note = "1.2 over the number of chains: parallel chains do not share evenly"
            book.trace.assume("chains.shares", value, "derived", note)
        return book.derived("chain_share", value, "rule of parallel chains of one matched set")
    if len(shares) != chains.chain_lines:
        message = f"{len(shares)} shares were sent for {chains.chain_lines} chains; each chain has one."
        raise Inconsistent(Issue("chains.shares", "share_not_sum_one", message, chains.chain_lines, len(shares)))
    total = sum(shares)
    if abs(total - 1) > SHARES_AGREE:
        message = f"The shares of the chains add up to {total:g}; all chains together carry the whole pull, 1."
        hint = f"Even shares of {chains.chain_lines} chains are {1 / chains.chain_lines:.4g} each."
        raise Inconsistent(Issue("chains.shares", "share_not_sum_one", message, 1.0, total, hint))
    return book.given("chain_share", max(shares))


def static_factor(given: ConveyorSizingInput, book: FactorBook) -> float:
    """Wanted factor of tensile strength over the greatest running tension: the caller's or that of a printed rule.

    Raises:
        Inconsistent: both a factor and a rule were sent.
        OutOfRange: the speed lies outside the bands of the rule.
    """
    rules = given.rules
    if rules.static_factor is not None:
        if rules.static_rule is not None:
            message = "Send static_factor or static_rule, not both: each says what factor is wanted."
            raise Inconsistent(Issue("rules.static_rule", "over_determined", message))
        return book.given("static_factor", rules.static_factor)
    if rules.static_rule in (None, "by_speed"):
        return _factor_by_speed(given.chain_speed_m_s, book)
    return _factor_of_use(rules.static_rule, book)


def _factor_by_speed(speed_m_s: float, book: FactorBook) -> float:
    speed = 60.0 * speed_m_s
    bands = book.factors.conveyor.speed_bands.where(system="safety_on_ultimate")
    for row in bands:
        if row.above < speed <= row.up_to:
            return book.printed("static_factor", row.factor, row, f"large conveyor chain at {speed:.4g} m/min")
    end = max(row.up_to for row in bands)
    message = f"The printed factors on tensile strength end at {end:g} m/min; the chain runs at {speed:.4g} m/min."
    hint = "Send rules.static_factor of your own, or name another rules.static_rule."
    raise OutOfRange(Issue("chain_speed_m_s", "outside_table", message, end / 60.0, speed_m_s, hint))


_RULES = {
    "bucket_line": (("bucket_line_chain", "design_load_over_ultimate_max"),),
    "drag": (
        ("drag_chain", "ultimate_over_pull_min"),
        ("drag_chain", "impact_factor"),
        ("drag_chain", "overload_factor"),
    ),
    "elevator": (("elevator_chain", "ultimate_over_design_min"),),
    "grain_drag": (("grain_drag_chain", "ultimate_over_working_min"),),
}
"""Rows of ``conveyor_strength_rules`` that make up a rule; their factors are multiplied."""


def _factor_of_use(rule: str, book: FactorBook) -> float:
    """Product of the rows of a rule; of a printed range the stricter end."""
    values = []
    for use, name in _RULES[rule]:
        row = book.factors.strength.conveyor_rules.where(use=use, rule=name)[0]
        printed = row.value_max if row.value_max is not None else row.value_min
        if printed is None:
            raise NotInReference(Issue("rules.static_rule", "figure_not_in_reference", f"{use} {name} has no figure."))
        factor = 1.0 / printed if name.endswith("over_ultimate_max") else printed
        values.append(book.printed(f"static_factor_{name}", factor, row, use.replace("_", " ")))
    return prod(values)


def temperature_factor(rules: Rules, book: FactorBook) -> float | None:
    """Share of strength and working load that is left at a temperature; one at an ordinary one.

    None where no print and no caller says it, so that no chain is judged by the strength it has when cold.
    """
    if rules.temperature_factor is not None:
        return book.given("temperature_factor", rules.temperature_factor)
    if rules.temperature_c is None:
        return 1.0
    rows = book.factors.conveyor.temperature_factors.rows
    for row in rows:
        if row.least_c <= rules.temperature_c < row.greatest_c:
            note = "printed for carbon-steel roller conveyor chain, taken for every chain"
            return book.printed("temperature_factor", row.factor, row, note)
    least, greatest = min(row.least_c for row in rows), max(row.greatest_c for row in rows)
    book.trace.warn(
        "temperature_outside",
        f"At {rules.temperature_c:g} degC no printed share of the strength holds (they run from {least:.0f} to"
        f" {greatest:.0f} degC for carbon steel), so no chain is judged: send rules.temperature_factor of the"
        " steel you mean, or cool the chain.",
        severity="danger",
        field="rules.temperature_c",
    )
    return None
