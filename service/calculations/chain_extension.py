"""Lengthening and shortening of a conveyor: whole pitches for every line, attachments, parts, and worn against new."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.implausible import implausible_elongations
from service.calculations.trace import Outcome, Trace
from service.core.errors import Issue, NoSolution, OutOfRange
from service.core.pitch_counts import (
    ExtensionChoice,
    common_multiple,
    extension_choices,
    neighbours,
    phase_error,
    pitches_for_extension,
)
from service.reference.records import Record

if TYPE_CHECKING:
    from service.reference.attachments import LinkRow
    from service.reference.chains import ChainSize

PartKind = Literal["chain", "attachments", "connecting_links"]

JOINTS_OF_A_SECTION = 2
"""A section let into a chain is joined at both ends (plain counting)."""


class ChainExtensionInput(Record, frozen=True, kw_only=True):
    """What is to become longer or shorter, and what the chain is like; ``extension_mm`` is negative for shortening."""

    chain: ChainSize
    links: LinkRow | None
    extension_mm: float
    runs: int
    chain_lines: int
    attachment_spacing: int | None
    loop_pitch_count: int | None
    elongation_percent: float | None


class Extension(Record, frozen=True, kw_only=True):
    """One choice with what follows from it; counts are of one line where the name says nothing else."""

    choice: ExtensionChoice
    attachments: int | None
    loop_pitch_count: int | None
    loop_pattern_closes: bool | None
    all_lines_pitch_count: int
    phase_error_mm: float | None


class Part(Record, frozen=True, kw_only=True):
    """A line of the parts list, for all chain lines together."""

    kind: PartKind
    count: int
    note: str


class ChainExtensionResult(Record, frozen=True, kw_only=True):
    """The exact number, the whole ones about it, the one that keeps every rule best, and its parts."""

    pitch_mm: float
    exact_pitches: float
    extensions: tuple[Extension, ...]
    recommended: Extension
    parts: tuple[Part, ...]


def chain_extension(given: ChainExtensionInput, *, keep_steps: bool = False) -> Outcome[ChainExtensionResult]:
    """Whole pitch counts for a change of length.

    Raises:
        OutOfRange: the spacing of attachments or the elongation is impossible.
        NoSolution: more chain would have to come out than there is.
    """
    trace = Trace(keep_steps=keep_steps)
    pitch = trace.figure(given.chain, "pitch")
    _check_given(given)
    if given.links is not None:
        trace.row(given.links, f"pattern of links of {given.links.family}")
    exact = trace.take(pitches_for_extension, extension_mm=given.extension_mm, runs=given.runs, pitch_mm=pitch)
    choices = trace.take(
        extension_choices,
        extension_mm=given.extension_mm,
        runs=given.runs,
        pitch_mm=pitch,
        attachment_spacing=given.attachment_spacing,
        alternating=_alternating(given),
    )
    extensions = tuple(_extension(given, choice, pitch, trace) for choice in choices if choice.pitch_count)
    if not extensions:
        text = f"A change of {abs(given.extension_mm):g} mm is no pitch at all; the pitch is {pitch:g} mm."
        raise OutOfRange(Issue("extension_mm", "must_be_positive", text, pitch, abs(given.extension_mm)))
    _check_left(given, extensions)
    recommended = min(extensions, key=lambda e: (not e.choice.pattern_kept, abs(e.choice.pitch_count - exact)))
    _warn(given, recommended, exact, trace)
    trace.caution("isolate_and_lock_off")
    return Outcome(
        ChainExtensionResult(
            pitch_mm=pitch,
            exact_pitches=exact,
            extensions=extensions,
            recommended=recommended,
            parts=tuple(_parts(given, recommended)),
        ),
        trace,
    )


def _check_given(given: ChainExtensionInput) -> None:
    worn, spacing, loop = given.elongation_percent, given.attachment_spacing, given.loop_pitch_count
    issues = implausible_elongations(worn)
    if spacing is not None and loop is not None and spacing > loop:
        text = f"An attachment every {spacing} pitches does not come on a chain of {loop} pitches."
        issues.append(Issue("attachment_spacing", "spacing_invalid", text, loop, spacing))
    if issues:
        raise OutOfRange(*issues)


def _alternating(given: ChainExtensionInput) -> bool:
    """Whether outer and inner links take turns; own figures name no family and are taken so."""
    return given.links is None or given.links.pattern == "alternating"


def _closing_multiple(given: ChainExtensionInput) -> int:
    """What the pitch count of a loop has to be a multiple of for its attachments to be evenly spaced over the joint."""
    spacings = () if given.attachment_spacing is None else (given.attachment_spacing,)
    return common_multiple(even=_alternating(given), spacings=spacings)


def _check_left(given: ChainExtensionInput, extensions: tuple[Extension, ...]) -> None:
    """Refuse to take out more chain than there is."""
    left = [extension.loop_pitch_count for extension in extensions if extension.loop_pitch_count is not None]
    if left and max(left) <= 0:
        text = f"A chain of {given.loop_pitch_count} pitches cannot become {-given.extension_mm:g} mm shorter."
        raise NoSolution(Issue("extension_mm", "chain_too_short", text, None, -given.extension_mm))


def _extension(given: ChainExtensionInput, choice: ExtensionChoice, pitch: float, trace: Trace) -> Extension:
    count, spacing, worn = choice.pitch_count, given.attachment_spacing, given.elongation_percent
    loop = None if given.loop_pitch_count is None else given.loop_pitch_count + count
    strict = _closing_multiple(given)
    return Extension(
        choice=choice,
        attachments=None if spacing is None else abs(count) // spacing,
        loop_pitch_count=loop,
        loop_pattern_closes=None if loop is None else loop % strict == 0,
        all_lines_pitch_count=given.chain_lines * count,
        phase_error_mm=None
        if worn is None
        else trace.take(phase_error, pitch_count=abs(count), pitch_mm=pitch, elongation_percent=worn),
    )


def _parts(given: ChainExtensionInput, extension: Extension) -> list[Part]:
    if extension.choice.pitch_count <= 0:
        return [Part(kind="connecting_links", count=given.chain_lines, note="to close each line again")]
    lines, count = given.chain_lines, extension.choice.pitch_count
    matched = ", from one matched lot" if lines > 1 else ""
    parts = [Part(kind="chain", count=lines * count, note=f"pitches: {lines} x {count}{matched}")]
    if extension.attachments:
        note = f"{extension.attachments} on each line, every {given.attachment_spacing} pitches"
        hands = "; lines on either side are of opposite hand" if lines > 1 else ""
        parts.append(Part(kind="attachments", count=lines * extension.attachments, note=note + hands))
    joints = JOINTS_OF_A_SECTION * lines
    parts.append(Part(kind="connecting_links", count=joints, note="a section is joined at both ends"))
    return parts


def _warn(given: ChainExtensionInput, recommended: Extension, exact: float, trace: Trace) -> None:
    below, above = neighbours(pitches=exact, multiple=2 if _alternating(given) else 1)
    if below != above:
        trace.warn(
            "extension_not_whole",
            f"The change comes to {exact:.5g} pitches; {recommended.choice.pitch_count} change the length by "
            f"{recommended.choice.extension_mm:.6g} mm.",
            severity="info",
            field="extension_mm",
        )
    _warn_of_pattern(given, trace)
    if given.chain_lines > 1:
        trace.warn(
            "per_strand_or_total",
            f"{recommended.choice.pitch_count} pitches are for each of {given.chain_lines} lines, "
            f"{recommended.all_lines_pitch_count} in all: say on the order which of the two is meant.",
            severity="info",
            field="chain_lines",
        )
    if recommended.phase_error_mm:
        trace.warn(
            "new_against_worn",
            f"Over {abs(recommended.choice.pitch_count)} pitches the worn chain is {recommended.phase_error_mm:.4g} mm "
            "longer than the new: put new chain into all lines alike, and think of replacing the whole.",
            field="elongation_percent",
        )
    if given.runs > 1:
        trace.warn(
            "pull_changes",
            "Weight and friction of the conveyor change with its length: work out pull, power and take-up again.",
            severity="info",
        )


def _warn_of_pattern(given: ChainExtensionInput, trace: Trace) -> None:
    """Tell of a chain whose attachments are not evenly spaced over its joint as it stands."""
    loop, spacing = given.loop_pitch_count, given.attachment_spacing
    if loop is None or spacing is None:
        return
    below, above = neighbours(pitches=loop, multiple=_closing_multiple(given))
    if below != above:
        trace.warn(
            "pattern_does_not_close",
            f"With an attachment every {spacing} pitches a chain of {loop} pitches has one uneven space; {below} or "
            f"{above} pitches close evenly.",
            field="loop_pitch_count",
        )
