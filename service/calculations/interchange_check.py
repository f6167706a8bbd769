"""Whether one chain may take the place of another, or run on a given wheel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.interchange_consequences import Capacity, compare_strength, tell_mixtures, tell_wheel
from service.calculations.interchange_findings import Dimension, Findings
from service.calculations.interchange_lifting import (
    Application,
    check_application,
    compare_leaf,
    compare_round_link,
    compare_round_link_on_wheel,
    refuse_leaf_on_teeth,
)
from service.calculations.interchange_silent import compare_silent, compare_silent_on_wheel
from service.calculations.interchange_tooth_gap import compare_tooth_gap
from service.calculations.interchange_wheel import compare_on_teeth
from service.calculations.trace import Outcome, Trace
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.interchange_sides import ComparedChain, ComparedWheel
    from service.reference.catalogue import Reference
    from service.reference.interchange import MeasurementRow, Purpose, RuleRow, Suitability, VerdictRow

_WHEEL_OF_PRINCIPLE = {
    "tooth_gap": "toothed",
    "inverted_tooth": "toothed",
    "sheave": "sheave",
    "pocket_wheel": "pocket_wheel",
}

_CONDITIONS = frozenset({"capacity_differs", "mixed_finish", "mixed_wear"})
"""Remarks that leave the verdict on the size as it is and still ask something of the caller."""
_OTHER_MAKE = frozenset({"mixed_make", "make_to_a_minimum"})
"""Remarks of the same kind where the makes are known to differ."""


class InterchangeInput(Record, frozen=True, kw_only=True):
    """The question: what is there, what is to go in its place, and for what."""

    purpose: Purpose
    replacement: ComparedChain
    installed: ComparedChain | None = None
    wheel: ComparedWheel | None = None
    application: Application | None = None
    same_make: bool | None = None


class InterchangeResult(Record, frozen=True):
    """The verdict and what it rests on."""

    verdict: VerdictRow
    suits: Suitability
    purpose: Purpose
    dimensions: tuple[Dimension, ...]
    reasons: tuple[RuleRow, ...]
    capacity: Capacity | None
    missing: tuple[MeasurementRow, ...]


def check_interchange(
    given: InterchangeInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[InterchangeResult]:
    """Compare two chains, or a chain and a wheel.

    Raises:
        MoreNeeded: neither the chain that is there nor its wheel was sent.
        Inconsistent: the sides do not fit the purpose, leaf chain on teeth, or round-link chain of two applications.
    """
    _check_sides(given)
    trace = Trace(keep_steps=keep_steps)
    findings = Findings(given.purpose, reference.interchange, trace)
    chains = tuple(chain for chain in (given.installed, given.replacement) if chain is not None)
    check_application(chains, given.application)
    capacity = None
    if given.installed is not None:
        _compare_chains(given.installed, given, findings, reference)
        if "principle_differs" not in findings.reasons:
            capacity = compare_strength(given.installed, given.replacement, trace)
        tell_mixtures(given.installed, given.replacement, findings, same_make=given.same_make)
    elif given.wheel is not None:
        _compare_wheel(given.wheel, given.replacement, findings, reference)
        tell_wheel(given.replacement, given.wheel, findings)
    _warn(given, chains, findings)
    trace.caution("isolate_and_lock_off", "local_codes")
    result = InterchangeResult(
        verdict=findings.verdict(),
        suits=_suits(findings, known_to_differ=given.same_make is False),
        purpose=given.purpose,
        dimensions=tuple(findings.dimensions.values()),
        reasons=tuple(sorted(findings.reasons.values(), key=lambda row: _gravity(row, findings), reverse=True)),
        capacity=capacity,
        missing=tuple(findings.missing.values()),
    )
    return Outcome(result, trace)


def _suits(findings: Findings, *, known_to_differ: bool) -> Suitability:
    """Whether the purpose is met; what fits by its size may still be met under conditions only."""
    found = findings.verdict().suits(findings.purpose)
    conditions = _CONDITIONS | (_OTHER_MAKE if known_to_differ else frozenset())
    return "with_conditions" if found == "yes" and conditions & findings.reasons.keys() else found


def _gravity(row: RuleRow, findings: Findings) -> int:
    imposed = row.verdict(findings.purpose)
    return -1 if imposed is None else findings.tables.verdicts[imposed].rank


def _check_sides(given: InterchangeInput) -> None:
    on_wheel = given.purpose == "chain_on_wheel"
    wanted, odd = (given.wheel, given.installed) if on_wheel else (given.installed, given.wheel)
    name, other = ("wheel", "installed") if on_wheel else ("installed", "wheel")
    if wanted is None:
        message = f"For the purpose {given.purpose} send {name} beside replacement."
        raise MoreNeeded(Issue(name, "field_required", message))
    if odd is not None:
        message = f"The purpose {given.purpose} compares replacement with {name}; leave {other} out."
        raise Inconsistent(Issue(other, "over_determined", message))


def _compare_chains(
    installed: ComparedChain, given: InterchangeInput, findings: Findings, reference: Reference
) -> None:
    replacement = given.replacement
    principles = {chain.family(findings.tables).principle for chain in (installed, replacement)}
    for chain in (installed, replacement):
        findings.trace.row(chain.family(findings.tables), f"how {chain.name} meets its wheel")
    if len(principles) > 1:
        findings.because("principle_differs")
    elif "tooth_gap" in principles:
        compare_tooth_gap(installed, replacement, findings, reference)
    elif "inverted_tooth" in principles:
        compare_silent(installed, replacement, findings, same_make=given.same_make is True)
    elif "sheave" in principles:
        compare_leaf(installed, replacement, findings, reference)
    else:
        compare_round_link(installed, replacement, findings, reference)


def _compare_wheel(wheel: ComparedWheel, chain: ComparedChain, findings: Findings, reference: Reference) -> None:
    principle = chain.family(findings.tables).principle
    findings.trace.row(chain.family(findings.tables), f"how {chain.name} meets its wheel")
    if principle == "sheave" and wheel.kind == "toothed":
        refuse_leaf_on_teeth(chain)
    cut_for = None if wheel.size is None else findings.tables.families[wheel.size.row.family].principle
    if _WHEEL_OF_PRINCIPLE[principle] != wheel.kind or cut_for not in (None, principle):
        findings.because("principle_differs")
    elif principle == "tooth_gap":
        compare_on_teeth(chain, wheel, findings, reference)
    elif principle == "inverted_tooth":
        compare_silent_on_wheel(chain, wheel, findings)
    elif principle == "sheave":
        findings.because("set_together")
        findings.ask("sheave", "sheave", "mark")
    else:
        compare_round_link_on_wheel(chain, wheel, findings)


def _warn(given: InterchangeInput, chains: tuple[ComparedChain, ...], findings: Findings) -> None:
    trace = findings.trace
    for chain in chains:
        figures = {figure.quantity for figure in chain.size.figures}
        if chain.own and "roller_diameter" not in figures and "minimum_tensile_strength" in figures:
            message = f"Equal breaking load says nothing of {chain.name}: wheel and joint figures decide."
            trace.warn("basis_insufficient", message, field=f"{chain.field}.own_chain")
    if findings.missing and findings.verdict().verdict == "cannot_say":
        names = ", ".join(code.replace("_", " ") for code in findings.missing)
        trace.warn("fields_missing", f"To decide, find out and send: {names}.")
    if given.wheel is not None and given.wheel.hub is not None:
        words = {"none": "no hub", "one_side": "a hub on one side", "both_sides": "hubs on both sides"}
        size = "" if given.wheel.size is None else given.wheel.size.designation
        message = f"The letter after {size} was read as {words[given.wheel.hub]}, and not as a series of ISO 606."
        trace.warn("hub_letter_read", message, severity="info", field="wheel.chain")
