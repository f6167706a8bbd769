"""Size of a round-link chain as it is written, wire diameter by pitch."""

from __future__ import annotations

import re
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue, MoreNeeded, NotInReference

_SIZE = re.compile(r"([0-9]{1,3}(?:[.,][0-9]{1,2})?)\s*[xX×]\s*([0-9]{1,3}(?:[.,][0-9]{1,2})?)")
_UNCLEAR = re.compile(r"[0-9]{1,3}\s*[-./]\s*[0-9]{1,3}")


class RoundLinkSize(NamedTuple):
    """Nominal wire diameter and inside length of a link."""

    diameter_mm: float
    pitch_mm: float


@equation(
    "round_link_size.read",
    symbol="d x p",
    unit="object",
    sources=(Source("trade-din-766-links", "designation 13 x 36 of the standard", "secondary"),),
)
def read(*, text: str) -> RoundLinkSize:
    """Wire diameter and pitch of a round-link chain from its written size.

    Equation:
        d x p in millimetres

    Args:
        text: Size such as 10x30 or 13 x 36, [text].

    Returns:
        Nominal wire diameter and inside length of a link, [object].

    Raises:
        NotInReference: code ``not_a_designation``; the text has not this form.
        MoreNeeded: code ``designation_ambiguous``; a dash, stroke or point instead of the cross may mean something
            else.
        Inconsistent: code ``geometry_impossible``; a link shorter inside than two wires lets no other link in.

    Validity: the size says nothing of grade, tolerance or use.
    Deviations: none.
    Sources: trade-din-766-links [secondary].

    Examples:
        >>> read(text="13 x 36")
        RoundLinkSize(diameter_mm=13.0, pitch_mm=36.0)
    """
    text = text.strip()
    if _UNCLEAR.fullmatch(text):
        message = f"{text[:20]!r} may be a diameter and a pitch, or one number."
        raise MoreNeeded(Issue("text", "designation_ambiguous", message, None, text[:20], "Write 10x30 for d by p."))
    if (found := _SIZE.fullmatch(text)) is None:
        message = f"{text[:20]!r} is no size of a round-link chain."
        raise NotInReference(Issue("text", "not_a_designation", message, None, text[:20], "Write 10x30 for d by p."))
    diameter, pitch = (float(group.replace(",", ".")) for group in found.groups())
    if not 0 < 2 * diameter < pitch:
        message = f"A link of {diameter:g} mm wire and {pitch:g} mm inside length lets no other link in."
        raise Inconsistent(
            Issue("text", "geometry_impossible", message, None, text[:20], "The diameter stands first, then the pitch.")
        )
    return RoundLinkSize(diameter_mm=diameter, pitch_mm=pitch)
