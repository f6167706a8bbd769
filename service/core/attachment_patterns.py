"""Attachments at every n-th pitch: how many, on which links, whether the pattern closes round the loop."""

from __future__ import annotations

from math import gcd, pi, tan

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import not_negative, positive

_COUNTING = Source("plane-geometry", "counting of links", "derived")

FEWEST_TEETH = 3
"""A wheel of fewer teeth has no polygon (plane geometry)."""


@equation("attachment_patterns.count", symbol="k", unit="attachments", sources=(_COUNTING,))
def attachment_count(*, pitch_count: int, every: int, start: int) -> int:
    """Attachments of one set on a strand.

    Equation:
        k = floor((N - s)/n) + 1

    Args:
        pitch_count: Pitches N of the strand, [pitches]; N >= 1.
        every: Pitches n from one attachment to the next, [pitches]; 1 <= n <= N.
        start: Link s of the first attachment, counted from one, [-]; 1 <= s <= N.

    Returns:
        Number k, [attachments].

    Raises:
        OutOfRange: code ``spacing_invalid`` or ``start_invalid``: spacing or first link lies outside the strand.

    Validity: any chain; one link is one pitch long.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> attachment_count(pitch_count=214, every=4, start=1)
        54
    """
    positive("pitch_count", pitch_count)
    if not 1 <= every <= pitch_count:
        text = f"An attachment every {every} pitches does not come on a chain of {pitch_count} pitches."
        raise OutOfRange(Issue("every", "spacing_invalid", text, pitch_count, every))
    if not 1 <= start <= pitch_count:
        text = f"The first attachment is to stand on link {start} of a chain of {pitch_count} links."
        raise OutOfRange(Issue("start", "start_invalid", text, pitch_count, start))
    return (pitch_count - start) // every + 1


@equation("attachment_patterns.links", symbol="i", unit="object", sources=(_COUNTING,))
def attachment_links(*, pitch_count: int, every: int, start: int) -> range:
    """Links that carry the attachments of one set.

    Equation:
        i = s, s + n, s + 2n, ... <= N

    Args:
        pitch_count: Pitches N of the strand, [pitches]; N >= 1.
        every: Pitches n from one attachment to the next, [pitches]; 1 <= n <= N.
        start: Link s of the first attachment, counted from one, [-]; 1 <= s <= N.

    Returns:
        Numbers i of the links.

    Raises:
        OutOfRange: code ``spacing_invalid`` or ``start_invalid``: spacing or first link lies outside the strand.

    Validity: any chain; one link is one pitch long.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> list(attachment_links(pitch_count=10, every=4, start=1))
        [1, 5, 9]
    """
    count = attachment_count(pitch_count=pitch_count, every=every, start=start)
    return range(start, start + (count - 1) * every + 1, every)


@equation("attachment_patterns.space_at_joint", symbol="g", unit="pitches", sources=(_COUNTING,))
def space_at_joint(*, pitch_count: int, every: int, start: int) -> int:
    """Pitches from the last attachment of an endless chain over the joint to the first.

    Equation:
        g = N - (k - 1) n; the pattern closes where g = n

    Args:
        pitch_count: Pitches N of the loop, [pitches]; N >= 1.
        every: Pitches n from one attachment to the next, [pitches]; 1 <= n <= N.
        start: Link s of the first attachment, counted from one, [-]; 1 <= s <= N.

    Returns:
        Space g, [pitches].

    Raises:
        OutOfRange: code ``spacing_invalid`` or ``start_invalid``: spacing or first link lies outside the loop.

    Validity: endless chain.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> space_at_joint(pitch_count=214, every=4, start=1)
        2
    """
    return pitch_count - (attachment_count(pitch_count=pitch_count, every=every, start=start) - 1) * every


@equation("attachment_patterns.first_shared_link", symbol="i", unit="-", sources=(_COUNTING,))
def first_shared_link(*, pitch_count: int, every: int, start: int, other_every: int, other_start: int) -> int | None:
    """The first link on which two sets of attachments meet.

    Equation:
        least i with i = s + a n = t + b m, i <= N; none where s - t is no multiple of gcd(n, m)

    Args:
        pitch_count: Pitches N of the strand, [pitches]; N >= 1.
        every: Spacing n of the first set, [pitches]; 1 <= n <= N.
        start: First link s of the first set, [-]; 1 <= s <= N.
        other_every: Spacing m of the second set, [pitches]; 1 <= m <= N.
        other_start: First link t of the second set, [-]; 1 <= t <= N.

    Returns:
        Number i of the link, [-]; None where they never meet.

    Raises:
        OutOfRange: code ``spacing_invalid`` or ``start_invalid``: a spacing or first link lies outside the strand.

    Validity: any chain; one link is one pitch long.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> first_shared_link(pitch_count=120, every=4, start=1, other_every=6, other_start=3)
        9
    """
    ours = attachment_links(pitch_count=pitch_count, every=every, start=start)
    theirs = attachment_links(pitch_count=pitch_count, every=other_every, start=other_start)
    common = gcd(every, other_every)
    if (start - other_start) % common:
        return None
    steps = other_every // common
    # start + a*every = other_start (mod other_every), solved for the least a >= 0 (congruence of Euclid).
    turns = (other_start - start) // common * pow(every // common, -1, steps) % steps if steps > 1 else 0
    link = start + turns * every
    period = every * steps
    if link < other_start:
        link += -(-(other_start - link) // period) * period
    return link if link in ours and link in theirs else None


@equation("attachment_patterns.spacing", symbol="t", unit="mm", sources=(_COUNTING,))
def attachment_spacing(*, every: int, pitch_mm: float, elongation_percent: float) -> float:
    """Distance from one attachment to the next.

    Equation:
        t = n p (1 + e/100)

    Args:
        every: Pitches n from one attachment to the next, [pitches]; n >= 1.
        pitch_mm: Nominal pitch p, [mm]; p > 0.
        elongation_percent: Mean elongation e of the worn chain, 0 for new chain, [%]; e >= 0.

    Returns:
        Spacing t, [mm].

    Raises:
        OutOfRange: spacing, pitch or elongation is out of bounds.

    Validity: mean of many spacings: in chain of alternating links the pitch over pin links grows with wear, that over
        roller links does not, so that single odd spacings differ by the wear of one pitch.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> attachment_spacing(every=4, pitch_mm=152.4, elongation_percent=2)
        621.792
    """
    positive("every", every)
    positive("pitch_mm", pitch_mm)
    not_negative("elongation_percent", elongation_percent)
    return every * pitch_mm * (1 + elongation_percent / 100)


@equation("attachment_patterns.rim_clearance", symbol="c", unit="mm", sources=(_COUNTING,))
def rim_clearance(*, pitch_mm: float, teeth: int, underside_height_mm: float, rim_diameter_mm: float) -> float:
    """Room between the underside of an attachment and the rim of a wheel under it.

    Equation:
        c = p/(2 tan(180°/z)) + h - d/2

    Args:
        pitch_mm: Pitch p, [mm]; p > 0.
        teeth: Pitches z of the chain round the wheel, [-]; z >= 3.
        underside_height_mm: Height h of the underside over the line of the pins, negative below it, [mm].
        rim_diameter_mm: Diameter d of what lies under the attachment: tips, flange or hub, [mm]; d > 0.

    Returns:
        Clearance c, [mm], negative where they meet.

    Raises:
        OutOfRange: pitch or diameter is not positive, or ``teeth_below_minimum``: there are fewer than three teeth.

    Validity: straight underside along one link, pins of the link on the pitch circle; least at the middle of the link.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> rim_clearance(pitch_mm=152.4, teeth=6, underside_height_mm=20, rim_diameter_mm=270)
        16.98
    """
    positive("pitch_mm", pitch_mm)
    positive("rim_diameter_mm", rim_diameter_mm)
    if teeth < FEWEST_TEETH:
        raise OutOfRange(
            Issue("teeth", "teeth_below_minimum", f"A chain does not lie round {teeth} teeth.", FEWEST_TEETH, teeth)
        )
    return pitch_mm / (2 * tan(pi / teeth)) + underside_height_mm - rim_diameter_mm / 2
