"""Reading of a designation with its strand suffix, ``80-2``; whatever is unclear is asked, never guessed."""

from __future__ import annotations

import re
from typing import NamedTuple

from service.core.errors import Issue, MoreNeeded, NotInReference, OutOfRange
from service.core.round_link_size import RoundLinkSize
from service.reference.chains import Chains, ChainSize, fold
from service.reference.round_link import find_size, sizes_of

MAX_TEXT = 60
"""Longest text that is looked at; the longest designation of the tables has under 20 characters."""
_SERIES_LETTERS = "ABC"
_ROUND_LINK = re.compile(r"[\d.,]+[X×][\d.,]+")
_DOUBTFUL_ROUND_LINK = re.compile(r"(\d{1,2})[-.](\d{2,3})")
"""Diameter and pitch of a round link as some write them, or something else."""
_ITEM_NUMBER_DIGITS = 6
"""No size of chain has so many digits and nothing else."""


class Designation(NamedTuple):
    """A size and how many strands of it stand side by side."""

    size: ChainSize
    strand_count: int


def read_designation(chains: Chains, text: str, field: str = "chain") -> Designation:
    """Read a designation or alias, with or without strand suffix.

    Raises:
        OutOfRange: ``strands_out_of_range``, the tables do not serve that many strands.
        NotInReference: ``designation_unknown`` with the nearest names, ``designation_unreadable``, or
            ``not_a_designation`` for an item number.
        MoreNeeded: with the candidates; ``designation_ambiguous`` where a series letter is missing or misplaced,
            ``application_needed`` for a round-link chain of several standards.
    """
    name = fold(text[: MAX_TEXT + 1])
    if not 0 < len(name) <= MAX_TEXT:
        raise NotInReference(_unreadable(field, text))
    if (size := chains.find(name)) is not None:
        return Designation(size, 1)
    stem = name.split("-", 1)[0]
    if chains.find(stem) is None and (links := doubtful_round_links(chains, name)):
        raise MoreNeeded(_doubtful(field, text, links), candidates=links)
    if chains.find(stem) is None and (candidates := series_candidates(chains, stem)):
        words = " or ".join(candidates)
        message = f"{text[:MAX_TEXT].strip()!r} does not say which chain is meant: {words}?"
        raise MoreNeeded(
            Issue(field, "designation_ambiguous", message, None, text[:MAX_TEXT], f"Name {words}."),
            candidates=candidates,
        )
    if _ROUND_LINK.fullmatch(name):
        return Designation(find_size(chains, name, field=field), 1)
    if name.isdecimal() and len(name) >= _ITEM_NUMBER_DIGITS:
        raise NotInReference(_item_number(field, text))
    base, dash, suffix = name.rpartition("-")
    if not dash or chains.find(base.split("-", 1)[0]) is None:
        return Designation(chains.get(text, field), 1)
    size = chains.find(base)
    if size is None or not (suffix.isascii() and suffix.isdecimal()):
        raise NotInReference(_unreadable(field, text))
    return Designation(size, _strands(field, size, int(suffix)))


def _strands(field: str, size: ChainSize, strand_count: int) -> int:
    most = size.row.max_strand_count
    if not 1 <= strand_count <= most:
        served = f"1 to {most} strands" if most > 1 else "a single strand only"
        raise OutOfRange(
            Issue(
                field,
                "strands_out_of_range",
                f"Chain {size.designation} is served in {served}, not in {strand_count}.",
                float(most),
                float(strand_count),
                f"Use {size.designation}-1 to {size.designation}-{most}." if most > 1 else f"Use {size.designation}.",
            )
        )
    return strand_count


def series_candidates(chains: Chains, name: str) -> tuple[str, ...]:
    """Sizes that an incomplete name without strands may mean: ``16`` is 16A or 16B, ``80B`` is 80 or 16B."""
    if not name.isascii():
        return ()
    if name.isdecimal() and len(name) == 2:
        named = [name + letter for letter in _SERIES_LETTERS]
    elif name[-1:] in ("A", "B") and name[:-1].isdecimal() and name[-2] == "0":
        eighths = int(name[:-2] or "0")
        named = [name[:-1], f"{2 * eighths:02d}{name[-1]}"]
    else:
        return ()
    found = [size.designation for size in map(chains.find, named) if size is not None]
    return tuple(found) if len(found) > 1 else ()


def doubtful_round_links(chains: Chains, name: str) -> tuple[str, ...]:
    """Round-link chains that a name with a dash or point may mean: ``10-30`` may be 10 x 30."""
    found = _DOUBTFUL_ROUND_LINK.fullmatch(name)
    if found is None:
        return ()
    return tuple(size.designation for size in sizes_of(chains, RoundLinkSize(float(found[1]), float(found[2]))))


def _doubtful(field: str, text: str, links: tuple[str, ...]) -> Issue:
    message = f"{text[:MAX_TEXT].strip()!r} may be the wire and pitch of round-link chain: {', '.join(links)}."
    hint = "Write 10x30 for wire and pitch, or the size and its strands, such as 16B-3."
    return Issue(field, "designation_ambiguous", message, None, text[:MAX_TEXT], hint)


def _item_number(field: str, text: str) -> Issue:
    return Issue(
        field,
        "not_a_designation",
        f"{text[:MAX_TEXT].strip()!r} looks like an item number; sizes are read here.",
        None,
        text[:MAX_TEXT],
        "Send the designation that the item carries, such as 80-2 or 16B-1.",
    )


def _unreadable(field: str, text: str) -> Issue:
    return Issue(
        field,
        "designation_unreadable",
        f"{text[:MAX_TEXT].strip()!r} cannot be read as a size with a number of strands.",
        None,
        text[:MAX_TEXT],
        "Write the size and the strands, for example 80-2 or 16B-3; /v1/designation-matches reads longer descriptions.",
    )
