"""How a chain is lubricated: method by speed, grade by temperature and pitch, quantities, and when not to oil."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.trace import Outcome, Trace
from service.core.conversions import M_S_PER_FT_MIN, MM_PER_INCH
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.core.lubrication import lubrication_type
from service.core.speeds import chain_speed_m_s
from service.reference.records import Record

if TYPE_CHECKING:
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.lubrication import (
        Case,
        LubricationCaseRow,
        LubricationQuantityRow,
        LubricationState,
        LubricationStateRow,
        Method,
        SpeedLimitRow,
        ViscosityRow,
    )

Edition = Literal["older", "newer"]
MethodGroup = Literal["manual_or_drip", "bath_or_disc", "forced_stream"]
Application = Literal["drive", "conveyor"]
Oil = Literal["yes", "special", "no"]

OIL_ORDER: tuple[Oil, ...] = ("yes", "special", "no")
GROUPS: tuple[MethodGroup, ...] = ("manual_or_drip", "bath_or_disc", "forced_stream")
METHODS: dict[MethodGroup, tuple[Method, ...]] = {
    "manual_or_drip": ("manual", "drip", "any"),
    "bath_or_disc": ("bath", "disc", "any"),
    "forced_stream": ("stream", "any"),
}
NO_METHOD_STATED: tuple[Method, ...] = ("manual", "drip", "bath", "disc", "stream", "any")
STATES_WITHOUT_OIL = {"not_intended", "under_water_grit"}
FAMILY_CASES: dict[str, Case] = {"leaf": "leaf_chain"}


class LubricationInput(Record, frozen=True, kw_only=True):
    """A chain, how fast it runs, and where."""

    chain: ChainSize
    application: Application = "drive"
    chain_speed_m_s: float | None = None
    teeth: int | None = None
    speed_rpm: float | None = None
    ambient_c: float | None = None
    cases: tuple[Case, ...] = ()
    lubrication_state: LubricationState | None = None


class EditionMethod(Record, frozen=True, kw_only=True):
    """Least method by one edition; None where it cannot be judged. ``or_better``: its upper boundary was not read."""

    edition: Edition
    method: MethodGroup | None
    or_better: bool
    limits: SpeedLimitRow


class SpeedText(Record, frozen=True, kw_only=True):
    """A text that gives a method by chain speed alone, and whether its speeds admit this chain."""

    row: LubricationQuantityRow
    admits: bool


class LubricationResult(Record, frozen=True, kw_only=True):
    """Whether to oil, how, with what and how much, and what is not known."""

    oil: Oil
    chain_speed_m_s: float | None
    method: MethodGroup | None
    editions: tuple[EditionMethod, ...]
    by_speed_alone: tuple[SpeedText, ...]
    viscosity: ViscosityRow | None
    quantities: tuple[LubricationQuantityRow, ...]
    cases: tuple[LubricationCaseRow, ...]
    state: LubricationStateRow | None
    holes: tuple[str, ...]


def lubrication_advice(
    given: LubricationInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[LubricationResult]:
    """Advise on lubrication.

    Raises:
        Inconsistent: the speed was sent twice, or two places exclude each other.
        MoreNeeded: a speed of rotation without its teeth, or the other way round.
    """
    trace = Trace(keep_steps=keep_steps)
    holes: list[str] = []
    cases = _cases(given, reference, trace)
    oil = _oil(cases, given.lubrication_state)
    state = _state(given, oil, reference, trace)
    speed_m_s = _speed(given, trace)
    editions = _editions(given, speed_m_s, reference, trace, holes)
    known = [edition.method for edition in editions if edition.method is not None]
    method = max(known, key=GROUPS.index, default=None)
    trace.caution("isolate_and_lock_off", "stored_energy", "guard_the_drive", "local_codes")
    return Outcome(
        LubricationResult(
            oil=oil,
            chain_speed_m_s=speed_m_s,
            method=method,
            editions=editions,
            by_speed_alone=_by_speed_alone(given, speed_m_s, reference, trace),
            viscosity=None if oil == "no" else _viscosity(given, reference, trace, holes),
            quantities=() if oil == "no" else _quantities(given, method, reference, trace, holes),
            cases=cases,
            state=state,
            holes=tuple(holes),
        ),
        trace,
    )


def _cases(given: LubricationInput, reference: Reference, trace: Trace) -> tuple[LubricationCaseRow, ...]:
    wanted = dict.fromkeys(given.cases)
    if (own := FAMILY_CASES.get(given.chain.row.family)) is not None:
        wanted[own] = None
    if {"grit_under_water", "clean_water"} <= wanted.keys():
        message = "Water cannot be clean and full of grit: send clean_water or grit_under_water."
        raise Inconsistent(Issue("cases", "contradiction", message))
    rows = tuple(row for row in reference.lubrication_cases.rows if row.case in wanted)
    for row in rows:
        trace.row(row, f"lubrication, {row.case.replace('_', ' ')}")
    return rows


def _state(given: LubricationInput, oil: Oil, reference: Reference, trace: Trace) -> LubricationStateRow | None:
    """What is done about the state that was seen; nothing where the place forbids the oil that it calls for."""
    for row in reference.lubrication_states.rows:
        if row.state == given.lubrication_state and (oil != "no" or row.action == "do_not_oil"):
            trace.row(row, f"state of lubrication {row.state}")
            return row
    return None


def _oil(cases: tuple[LubricationCaseRow, ...], state: LubricationState | None) -> Oil:
    said: list[Oil] = ["yes", *(row.oil for row in cases)]
    if state in STATES_WITHOUT_OIL:
        said.append("no")
    return max(said, key=OIL_ORDER.index)


def _speed(given: LubricationInput, trace: Trace) -> float | None:
    if given.speed_rpm is None and given.teeth is None:
        return given.chain_speed_m_s
    if given.chain_speed_m_s is not None:
        raise Inconsistent(
            Issue("chain_speed_m_s", "over_determined", "Send chain_speed, or speed and teeth of a wheel, not both.")
        )
    if given.teeth is None:
        raise MoreNeeded(Issue("teeth", "field_required", "Send the teeth of the wheel whose speed this is."))
    if given.speed_rpm is None:
        raise MoreNeeded(Issue("speed_rpm", "field_required", "Send the speed of the wheel that has these teeth."))
    pitch_mm = trace.figure(given.chain, "pitch")
    return trace.take(chain_speed_m_s, pitch_mm=pitch_mm, teeth=given.teeth, speed_rpm=given.speed_rpm)


def _editions(
    given: LubricationInput, speed_m_s: float | None, reference: Reference, trace: Trace, holes: list[str]
) -> tuple[EditionMethod, ...]:
    name = given.chain.designation
    rows = [row for row in reference.lubrication_speed_limits.rows if row.designation == name]
    if not rows:
        holes.append(
            f"Speed limits of lubrication of chain {name} were not found; texts that go by speed alone are listed."
        )
        return ()
    if speed_m_s is None:
        holes.append("The method depends on speed: send chain_speed, or speed and teeth of the small wheel.")
        return ()
    editions = []
    for row in rows:
        trace.row(row, f"limits of lubrication of {name}, {row.edition} edition")
        method = _older(row, speed_m_s, trace) if row.edition == "older" else _newer(row, given.speed_rpm, holes)
        or_better = row.edition == "newer" and method == "bath_or_disc"
        editions.append(EditionMethod(edition=row.edition, method=method, or_better=or_better, limits=row))
    return tuple(editions)


def _older(row: SpeedLimitRow, speed_m_s: float, trace: Trace) -> MethodGroup | None:
    if row.manual_or_drip_max_ft_min is None or row.bath_or_disc_max_ft_min is None:
        return None
    return trace.take(
        lubrication_type,
        chain_speed_ft_min=speed_m_s / M_S_PER_FT_MIN,
        manual_or_drip_limit_ft_min=row.manual_or_drip_max_ft_min,
        bath_or_disc_limit_ft_min=row.bath_or_disc_max_ft_min,
    )


def _newer(row: SpeedLimitRow, speed_rpm: float | None, holes: list[str]) -> MethodGroup | None:
    if row.manual_or_drip_max_rpm is None or speed_rpm is None:
        holes.append("The newer edition goes by the speed of the small wheel: send its speed and teeth.")
        return None
    if speed_rpm <= row.manual_or_drip_max_rpm:
        return "manual_or_drip"
    holes.append(
        f"Above {row.manual_or_drip_max_rpm:g} r/min the newer edition asks for a bath at least; its boundary to the "
        "oil stream was not read."
    )
    return "bath_or_disc"


def _by_speed_alone(
    given: LubricationInput, speed_m_s: float | None, reference: Reference, trace: Trace
) -> tuple[SpeedText, ...]:
    if speed_m_s is None:
        return ()
    texts = []
    for row in reference.lubrication_quantities.rows:
        if row.quantity == "chain_speed" and row.applies_to == given.application:
            trace.row(row, f"chain speed of {row.method} lubrication")
            least, greatest = row.least or 0.0, row.greatest
            texts.append(SpeedText(row=row, admits=speed_m_s >= least and (greatest is None or speed_m_s <= greatest)))
    return tuple(texts)


def _viscosity(given: LubricationInput, reference: Reference, trace: Trace, holes: list[str]) -> ViscosityRow | None:
    if given.chain.row.family != "roller":
        holes.append("The table of oil grades is for short-pitch roller chain; ask the maker of this chain.")
        return None
    if given.ambient_c is None:
        holes.append("The grade of oil depends on temperature: send ambient_temperature.")
        return None
    pitch_in = trace.figure(given.chain, "pitch") / MM_PER_INCH
    rows = reference.lubricant_viscosities.rows
    coldest = min(row.ambient_above_degc for row in rows)
    for row in rows:
        warm = row.ambient_above_degc < given.ambient_c or row.ambient_above_degc == given.ambient_c == coldest
        if warm and given.ambient_c <= row.ambient_to_degc and row.pitch_above_in < pitch_in <= row.pitch_to_in:
            trace.row(row, "grade of oil")
            return row
    warmest = max(row.ambient_to_degc for row in rows)
    largest = max(row.pitch_to_in for row in rows)
    holes.append(
        f"The table of oil grades holds from {coldest:g} to {warmest:g} degC and up to {largest:g} in of pitch; beyond "
        "it ask the maker of the lubricant."
    )
    return None


def _quantities(
    given: LubricationInput, method: MethodGroup | None, reference: Reference, trace: Trace, holes: list[str]
) -> tuple[LubricationQuantityRow, ...]:
    wanted = NO_METHOD_STATED if method is None else METHODS[method]
    rows = tuple(
        row
        for row in reference.lubrication_quantities.rows
        if row.method in wanted and row.applies_to == given.application and row.quantity != "chain_speed"
    )
    for row in rows:
        trace.row(row, f"{row.quantity.replace('_', ' ')} of {row.method} lubrication")
    if method == "forced_stream":
        holes.append("The flow of an oil stream was not found in print.")
    return rows
