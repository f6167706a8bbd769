"""What a change of chain brings with it: strength, mixed material, finish, wear and make."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.interchange_sides import known, pitch_of
from service.core.elongation import length_at
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.interchange_findings import Findings
    from service.calculations.interchange_sides import ComparedChain, ComparedWheel
    from service.calculations.trace import Trace

STRENGTHS = ("minimum_tensile_strength", "breaking_force", "average_tensile_strength", "proof_test_load")
"""Strengths that may be compared, each with its like only: never a test load with a breaking load."""


class Capacity(Record, frozen=True):
    """Strength of the replacement as a multiple of that of the chain it replaces."""

    quantity: str
    installed_n: float
    replacement_n: float

    @property
    def ratio(self) -> float:
        """Replacement over installed."""
        return self.replacement_n / self.installed_n


def compare_strength(installed: ComparedChain, replacement: ComparedChain, trace: Trace) -> Capacity | None:
    """The first strength that both chains have under one name; None where there is none."""
    for quantity in STRENGTHS:
        if all(chain.size.find(quantity, chain.strand_count) is not None for chain in (installed, replacement)):
            first = known(installed, quantity, trace, installed.strand_count)
            second = known(replacement, quantity, trace, replacement.strand_count)
            if first is not None and second is not None:
                return Capacity(quantity, first.value, second.value)
    return None


def tell_mixtures(
    installed: ComparedChain, replacement: ComparedChain, findings: Findings, *, same_make: bool | None
) -> None:
    """Warn of materials, finishes, states of wear and makes that differ."""
    if None not in (installed.material, replacement.material) and installed.material != replacement.material:
        findings.because("capacity_differs")
        message = "The size is the same, the material is not: no standard gives the strength or the wear life."
        findings.trace.warn("capacity_differs", message, field=f"{replacement.field}.material")
    if findings.joining and None not in (installed.finish, replacement.finish):
        _tell_finish(installed, replacement, findings)
    if findings.joining:
        _tell_wear(installed, replacement, findings)
        if not same_make:
            _tell_make(installed, findings, known_to_differ=same_make is False)


def _tell_finish(installed: ComparedChain, replacement: ComparedChain, findings: Findings) -> None:
    if installed.finish != replacement.finish:
        findings.because("mixed_finish")
        message = f"A {replacement.finish} part goes into a {installed.finish} chain: fit, strength and rust differ."
        findings.trace.warn("mixed_finish", message, field=f"{replacement.field}.finish")


def _tell_wear(installed: ComparedChain, replacement: ComparedChain, findings: Findings) -> None:
    """Difference of length of one pitch between the two parts of a strand."""
    worn = [chain.elongation_percent or 0.0 for chain in (installed, replacement)]
    if worn[0] == worn[1]:
        return
    findings.because("mixed_wear")
    pitch = pitch_of(installed, findings.trace)
    mismatch = ""
    if pitch is not None:
        lengths = [
            findings.trace.take(length_at, elongation_percent=percent, pitch_count=1, pitch_mm=pitch.value)
            for percent in worn
        ]
        mismatch = f", {abs(lengths[0] - lengths[1]):.3g} mm in each pitch"
    message = f"Pitches worn by {worn[0]:g} % and {worn[1]:g} % stand side by side{mismatch}: the joint runs rough."
    findings.trace.warn("mixed_wear", message, field=f"{replacement.field}.elongation_percent")


def _tell_make(installed: ComparedChain, findings: Findings, *, known_to_differ: bool) -> None:
    rule = installed.family(findings.tables)
    if rule.makes == "excluded":
        return
    findings.because("make_to_a_minimum" if rule.makes == "minimum" else "mixed_make")
    findings.trace.row(rule, f"makes of {rule.family.replace('_', ' ')} chain")
    message = "Parts of two makes in one strand are to be kept to a minimum: fits, barrels and hardness differ."
    if known_to_differ:
        findings.trace.warn("mixed_make", message, field="same_make")
    else:
        findings.trace.assume("same_make", "no", "default", "not sent; parts of one make are the better choice")


def tell_wheel(chain: ComparedChain, wheel: ComparedWheel, findings: Findings) -> None:
    """Remark on a worn partner."""
    if wheel.worn or (chain.elongation_percent or 0.0) > 0.0:
        findings.because("worn_wheel")
