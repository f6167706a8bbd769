"""The kinds of chain that a sizing searches, and the chains that a caller named, by kind."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.pull_tables import ENGINEERING_FAMILIES
from service.core.errors import Inconsistent, Issue
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_search import NamedChain
    from service.calculations.silent_tables import SilentTables, SilentWidth
    from service.reference.chains import ChainSize

Kind = Literal["roller", "silent", "engineering"]
ChainKind = Literal["roller", "silent", "engineering", "both", "all"]

_WORDS: dict[Kind, str] = {"roller": "roller", "silent": "silent", "engineering": "engineering-class"}


def kinds_of(asked: ChainKind) -> tuple[Kind, ...]:
    """The kinds that a word of the request stands for."""
    if asked == "both":
        return ("roller", "silent")
    return ("roller", "silent", "engineering") if asked == "all" else (asked,)


class NamedByKind(Record, frozen=True):
    """The chains that the caller allows, by kind; None where none were named."""

    roller: tuple[NamedChain, ...] | None
    silent: tuple[SilentWidth, ...] | None
    engineering: tuple[ChainSize, ...] | None


def split_named(named: tuple[NamedChain, ...] | None, asked: ChainKind, silent: SilentTables) -> NamedByKind:
    """The chains that the caller allows, by kind; the search for roller chain refuses what it has no ratings of.

    Raises:
        Inconsistent: a chain is of a kind that was not asked for, or none is of one that was.
        NotInReference: a silent chain is not of the rated standard.
    """
    if named is None:
        return NamedByKind(None, None, None)
    kinds, issues = kinds_of(asked), []
    found: dict[Kind, list[NamedChain]] = {kind: [] for kind in kinds}
    widths = []
    for index, chain in enumerate(named):
        field, name = f"constraints.chains.{index}", chain.size.designation
        kind = _kind(chain.size, kinds)
        if kind not in found:
            is_it = "is silent" if kind == "silent" else f"is not {_WORDS[kinds[0]]}"
            message = f"{name} {is_it} chain, but {' or '.join(map(_WORDS.__getitem__, kinds))} chain was asked for."
            issues.append(
                Issue(field, "chain_kind_differs", message, None, name, "Change chain_kind, or leave it out.")
            )
            continue
        found[kind].append(chain)
        if kind == "silent":
            widths.append(silent.width(chain.size, field))
    for kind, chains in found.items():
        if not chains and len(kinds) > 1:
            word, count = _WORDS[kind], "both" if asked == "both" else "all"
            message = f"None of the named chains is {word} chain, though {count} kinds were asked for."
            issues.append(Issue("constraints.chains", "chain_kind_differs", message, hint=f"Name {word} chain too."))
    if issues:
        raise Inconsistent(*issues)
    return NamedByKind(
        roller=tuple(found.get("roller", ())),
        silent=tuple(sorted(widths, key=lambda width: width.width_in)),
        engineering=tuple(chain.size for chain in found.get("engineering", ())),
    )


def _kind(size: ChainSize, kinds: tuple[Kind, ...]) -> Kind:
    """The kind of a size; engineering-class chain counts as such only where that was asked for."""
    if size.row.family == "silent":
        return "silent"
    return "engineering" if "engineering" in kinds and size.row.family in ENGINEERING_FAMILIES else "roller"
