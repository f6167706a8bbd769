"""Whole numbers of pitches: what a length comes to, what joints and attachments allow, how worn chain drifts."""

from __future__ import annotations

from math import ceil, floor, isfinite, lcm
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import not_negative, positive

_COUNTING = Source("plane-geometry", "a chain has a whole number of pitches", "derived")

WHOLE_TOLERANCE = 1e-9
"""A count nearer than this to a whole number is that number; lengths in feet over pitches in millimetres need it."""


GREATEST_PITCHES = 1e9
"""More pitches than any chain has; beyond it whole numbers would lose their last digits (ours)."""


class ExtensionChoice(NamedTuple):
    """One way to lengthen a conveyor, or to shorten it where the figures are negative.

    Attributes:
        pitch_count: Pitches to put into each strand.
        chain_length_mm: Their length.
        extension_mm: What they lengthen the conveyor by.
        even: Whether inner and outer links still alternate without an offset link.
        pattern_kept: Whether attachments stay evenly spaced over the joint.
    """

    pitch_count: int
    chain_length_mm: float
    extension_mm: float
    even: bool
    pattern_kept: bool


@equation("pitch_counts.pitches_in_length", symbol="n", unit="pitches", sources=(_COUNTING,))
def pitches_in_length(*, length_mm: float, pitch_mm: float) -> float:
    """Pitches that a length of chain comes to.

    Equation:
        n = L/p, taken as whole where it is within 1e-9 of a whole number

    Args:
        length_mm: Length L, negative for a length to take out, [mm].
        pitch_mm: Pitch p, [mm]; p > 0.

    Returns:
        Pitches n, [pitches], in general not whole.

    Raises:
        OutOfRange: the pitch is not positive, the length not finite, or both make more than 1e9 pitches.

    Validity: any chain.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pitches_in_length(length_mm=10 * 304.8, pitch_mm=19.05)
        160
    """
    positive("pitch_mm", pitch_mm)
    if not isfinite(length_mm):
        raise OutOfRange(Issue("length_mm", "must_be_finite", "The length is not a finite number.", None, length_mm))
    pitches = length_mm / pitch_mm
    if abs(pitches) > GREATEST_PITCHES:
        text = f"{length_mm:g} mm of {pitch_mm:g} mm pitch are more pitches than any chain has."
        raise OutOfRange(Issue("length_mm", "number_out_of_range", text, GREATEST_PITCHES * pitch_mm, length_mm))
    nearest = floor(pitches + 0.5)
    return nearest if abs(pitches - nearest) <= WHOLE_TOLERANCE * max(1.0, abs(pitches)) else pitches


@equation("pitch_counts.common_multiple", symbol="m", unit="pitches", sources=(_COUNTING,))
def common_multiple(*, even: bool, spacings: tuple[int, ...]) -> int:
    """Number that a pitch count has to be a multiple of.

    Equation:
        m = lcm(2 where the count must be even, spacings of the attachments)

    Args:
        even: Whether inner and outer links are to take turns over the joint as well, [flag].
        spacings: Pitches after which each set of attachments repeats; none for a chain without, [pitches].

    Returns:
        Least common multiple m, [pitches].

    Raises:
        OutOfRange: code ``spacing_invalid``: the spacing is below one.

    Validity: any chain; of alternating links with an odd spacing attachments come on both kinds in turn, and repeat on
        the same kind after twice the spacing, which the even count sees to.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> common_multiple(even=True, spacings=(3, 4))
        12
    """
    for spacing in spacings:
        if spacing < 1:
            text = f"An attachment every {spacing} pitches is not possible; the spacing is one pitch or more."
            raise OutOfRange(Issue("attachment_spacing", "spacing_invalid", text, 1, spacing))
    return lcm(2 if even else 1, *spacings)


@equation("pitch_counts.neighbours", symbol="n", unit="object", sources=(_COUNTING,))
def neighbours(*, pitches: float, multiple: int) -> tuple[int, int]:
    """Nearest allowed pitch counts below and above.

    Equation:
        m floor(x/m) and m ceil(x/m); both the same where x is a multiple of m to within 1e-9

    Args:
        pitches: Exact number x, [pitches].
        multiple: Number m that the count has to be a multiple of, [pitches]; m >= 1.

    Returns:
        The counts below and above.

    Raises:
        OutOfRange: the multiple is below one or the number is not finite.

    Validity: any chain.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> neighbours(pitches=39.37, multiple=4)
        (36, 40)
    """
    if multiple < 1:
        text = f"A count cannot be a multiple of {multiple}."
        raise OutOfRange(Issue("multiple", "must_be_positive", text, 1, multiple))
    shares = pitches_in_length(length_mm=pitches, pitch_mm=multiple)
    return multiple * floor(shares), multiple * ceil(shares)


@equation("pitch_counts.pitches_for_extension", symbol="n", unit="pitches", sources=(_COUNTING,))
def pitches_for_extension(*, extension_mm: float, runs: int, pitch_mm: float) -> float:
    """Pitches that a conveyor takes in each strand when it is lengthened.

    Equation:
        n = k d/p

    Args:
        extension_mm: Lengthening d of the conveyor, negative for shortening, [mm].
        runs: Runs k of chain that become longer: two for a carrying and a return run, [-]; k >= 1.
        pitch_mm: Pitch p, [mm]; p > 0.

    Returns:
        Pitches n for each strand, [pitches], in general not whole.

    Raises:
        OutOfRange: pitch or number of runs is not positive, or the extension is not finite.

    Validity: runs that lie along the extension.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pitches_for_extension(extension_mm=3000, runs=2, pitch_mm=152.4)
        39.37
    """
    positive("runs", runs)
    try:
        return pitches_in_length(length_mm=runs * extension_mm, pitch_mm=pitch_mm)
    except OutOfRange as refusal:
        issue = refusal.issues[0]
        raise OutOfRange(issue._replace(field="extension_mm") if issue.field == "length_mm" else issue) from None


@equation("pitch_counts.extension_choices", symbol="n", unit="object", sources=(_COUNTING,))
def extension_choices(
    *, extension_mm: float, runs: int, pitch_mm: float, attachment_spacing: int | None, alternating: bool
) -> tuple[ExtensionChoice, ...]:
    """Whole pitch counts next to an extension, with and without regard to the spacing of attachments.

    Equation:
        the neighbours of k d/p among the even numbers, where the links are all alike among all whole numbers, and among
        those of them that are multiples of the spacing

    Args:
        extension_mm: Lengthening d of the conveyor, negative for shortening, [mm].
        runs: Runs k of chain that become longer, [-]; k >= 1.
        pitch_mm: Pitch p, [mm]; p > 0.
        attachment_spacing: Pitches from one attachment to the next; None for a chain without, [pitches].
        alternating: Whether inner and outer links take turns, so that an odd count needs an offset link, [flag].

    Returns:
        Two to four choices in ascending order of pitches; one where the extension is met exactly.

    Raises:
        OutOfRange: pitch, number of runs or spacing is not positive, or the extension is not finite.

    Validity: attachments stay evenly spaced over the joint only if they are so in the chain as it stands.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> asked = {"extension_mm": 3000, "runs": 2, "pitch_mm": 152.4, "attachment_spacing": 4, "alternating": True}
        >>> [(choice.pitch_count, choice.pattern_kept) for choice in extension_choices(**asked)]
        [(36, True), (38, False), (40, True)]
    """
    pitches = pitches_for_extension(extension_mm=extension_mm, runs=runs, pitch_mm=pitch_mm)
    spacings = () if attachment_spacing is None else (attachment_spacing,)
    plain, strict = (common_multiple(even=alternating, spacings=chosen) for chosen in ((), spacings))
    counts = {*neighbours(pitches=pitches, multiple=plain), *neighbours(pitches=pitches, multiple=strict)}
    return tuple(
        ExtensionChoice(count, count * pitch_mm, count * pitch_mm / runs, count % 2 == 0, count % strict == 0)
        for count in sorted(counts)
    )


@equation("pitch_counts.phase_error", symbol="d", unit="mm", sources=(_COUNTING,))
def phase_error(*, pitch_count: int, pitch_mm: float, elongation_percent: float) -> float:
    """How far a worn strand runs ahead of a new one of as many pitches.

    Equation:
        d = n p e/100

    Args:
        pitch_count: Pitches n, [pitches]; n >= 0.
        pitch_mm: Nominal pitch p, [mm]; p > 0.
        elongation_percent: Mean elongation e of the worn strand over the new one, [%].

    Returns:
        Difference d in length, [mm].

    Raises:
        OutOfRange: count, pitch or elongation is out of bounds.

    Validity: both strands equally loaded.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> phase_error(pitch_count=40, pitch_mm=152.4, elongation_percent=2)
        121.92
    """
    not_negative("pitch_count", pitch_count)
    positive("pitch_mm", pitch_mm)
    not_negative("elongation_percent", elongation_percent)
    return pitch_count * pitch_mm * elongation_percent / 100
