"""Interchange of leaf chain and round-link chain, which mostly lift: by series, lacing, grade and application."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.interchange_sides import Known, known, pitch_of
from service.calculations.interchange_tooth_gap import same_size
from service.core.errors import Inconsistent, Issue
from service.reference.round_link import USE_OF_SERIES, LinkUse

if TYPE_CHECKING:
    from service.calculations.interchange_findings import Findings
    from service.calculations.interchange_sides import ComparedChain, ComparedWheel
    from service.reference.catalogue import Reference

Application = Literal["hoist", "sling", "conveying"]
LIFTING_CAUTIONS = (
    "overhead_lifting",
    "competent_person",
    "never_repair_lifting_chain",
    "hoist_maker_first",
    "no_people",
)
LEAF_FIGURES = ("pin_diameter", "plate_height", "plate_thickness")


def compare_leaf(first: ComparedChain, second: ComparedChain, findings: Findings, reference: Reference) -> None:
    """Compare two leaf chains."""
    findings.trace.caution(*LIFTING_CAUTIONS)
    findings.because("set_together")
    pitches = pitch_of(first, findings.trace), pitch_of(second, findings.trace)
    pitch = findings.compare("pitch", *pitches, "wheel", same_size=first.size is second.size)
    for name in LEAF_FIGURES:
        figures = known(first, name, findings.trace), known(second, name, findings.trace)
        findings.compare(name, *figures, "joint", same_size=first.size is second.size)
    if same_size(first, second, findings, reference):
        if findings.joining:
            findings.because("never_join_lifting_chain")
    elif pitch == "differs":
        findings.because("pitch_differs")
    elif first.own or second.own:
        findings.ask("sheave", "lacing", "plates", "pin_diameter", "mark")
    else:
        same_series = first.size.row.series == second.size.row.series
        findings.because("leaf_lacing_differs" if same_series else "leaf_series_differs")


def refuse_leaf_on_teeth(chain: ComparedChain) -> None:
    """Leaf chain on a toothed wheel is no question of fit.

    Raises:
        Inconsistent: ``leaf_runs_on_sheave``, always.
    """
    message = f"{chain.name} is leaf chain: it has no rollers and runs over a sheave, never on a toothed wheel."
    raise Inconsistent(Issue(f"{chain.field}.chain", "leaf_runs_on_sheave", message, None, chain.name))


def check_application(chains: tuple[ComparedChain, ...], application: Application | None) -> None:
    """Hold round-link chains of the question to one application.

    Raises:
        Inconsistent: ``not_for_lifting`` where a chain that must not lift would, ``application_mismatch`` where hoist
            and sling chain would take each other's place.
    """
    uses = [(chain, use) for chain in chains if (use := _use(chain)) is not None]
    wanted = {use for _, use in uses} | ({application} if application in ("hoist", "sling") else set())
    for chain, use in uses:
        if use == "not_for_lifting" and wanted != {use}:
            message = f"{chain.name} is no lifting chain: its tolerance and hardness are those of another purpose."
            raise Inconsistent(Issue(f"{chain.field}.chain", "not_for_lifting", message, None, chain.name, _HINT))
    if len(wanted) > 1:
        names = " and ".join(chain.name for chain, _ in uses)
        message = f"Hoist chain and sling chain differ in tolerance and hardness; {names} cannot serve one purpose."
        raise Inconsistent(Issue(f"{uses[-1][0].field}.chain", "application_mismatch", message, None, None, _HINT))


_HINT = "Take chain of the standard and grade that the machine's plate or manual names."


def _use(chain: ComparedChain) -> LinkUse | None:
    return USE_OF_SERIES.get(chain.size.row.series) if chain.size.row.family == "round_link" else None


def compare_round_link(first: ComparedChain, second: ComparedChain, findings: Findings, reference: Reference) -> None:
    """Compare two round-link chains of one application."""
    lifts = _use(first) != "not_for_lifting" or _use(second) != "not_for_lifting"
    if lifts:
        findings.trace.caution(*LIFTING_CAUTIONS)
    named = same_size(first, second, findings, reference)
    agreements = [
        _compare_link("pitch", first, second, findings),
        _compare_link("wire_diameter", first, second, findings),
    ]
    if named:
        if findings.joining:
            findings.because("never_join_lifting_chain" if lifts else "connector_of_the_chain")
    elif "differs" in agreements:
        findings.because("link_size_differs")
    elif first.own or second.own:
        findings.ask("pocket_wheel", "wire_diameter", "pitch", "mark")
    else:
        findings.because("grade_differs")


def _compare_link(name: str, first: ComparedChain, second: ComparedChain, findings: Findings) -> str:
    trace = findings.trace
    figures = known(first, name, trace), known(second, name, trace)
    return findings.compare(name, *figures, "wheel", same_size=first.size is second.size)


def compare_round_link_on_wheel(chain: ComparedChain, wheel: ComparedWheel, findings: Findings) -> None:
    """Compare a round-link chain with its pocket wheel."""
    if _use(chain) != "not_for_lifting":
        findings.trace.caution(*LIFTING_CAUTIONS)
    sent = {"pitch": wheel.pitch_mm, "wire_diameter": wheel.wire_diameter_mm}
    for name, value in sent.items():
        made_for = None if wheel.size is None else wheel.size.find(name)
        of_wheel = value if value is not None else None if made_for is None else made_for.value
        figures = known(chain, name, findings.trace), None if of_wheel is None else Known(of_wheel)
        agreement = findings.compare(name, *figures, "wheel")
        if agreement == "differs":
            findings.because("link_size_differs")
        elif agreement == "unknown":
            findings.ask("pocket_wheel", name)
    findings.because("calibrated_for_the_wheel")
