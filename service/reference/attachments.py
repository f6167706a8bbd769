"""Attachments: letters and numbers, what they carry, which family may carry them, where welding is possible."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Literal

from service.core.errors import Issue, NotInReference
from service.reference.errors import BadTable
from service.reference.families import Families
from service.reference.loader import TABLES, Row, load_table
from service.reference.records import Record

Form = Literal[
    "bent_lug",
    "straight_lug",
    "wide_bent_lug",
    "wide_straight_lug",
    "extended_pin",
    "holes_in_plate",
    "upright_wing",
    "upright_lug",
    "pusher",
    "roof",
    "wing",
    "saddle",
    "tab",
    "bracket",
    "through_bolt",
    "bolted_part",
    "special",
]
Sides = Literal["one", "both", "across", "as_made"]
NumberMeans = Literal["holes_in_each_lug", "extended_pins", "pattern", "none"]
Carried = Literal[
    "slat",
    "jig",
    "piece",
    "bucket",
    "flight",
    "finger",
    "pusher",
    "rod",
    "tray",
    "roller",
    "bulk",
    "log",
]
Standing = Literal["listed", "usual", "seldom"]
WeldingPermission = Literal["on_side_bars", "where_not_hardened", "by_maker", "not_permitted"]
LinkPattern = Literal["alternating", "identical"]

_KIND = re.compile(r"([A-Z]+(?:_[A-Z]+)*)-?(\d{0,3})")


class LetterRow(Row, frozen=True, kw_only=True):
    """A letter of attachments, or a word where the trade has none."""

    letter: str
    name: str
    form: Form
    sides: Sides
    number_means: NumberMeans
    both_sides_letter: str = ""
    in_descriptions: Literal["yes", "no"]
    meaning: str


class UseRow(Row, frozen=True, kw_only=True):
    """Something that an attachment carries."""

    letter: str
    carries: Carried
    statement: str


class KindRow(Row, frozen=True, kw_only=True):
    """A letter with its number."""

    kind: str
    letter: str
    holes_in_each_lug: int | None = None
    extended_pins: int | None = None
    meaning: str


class FamilyAttachmentRow(Row, frozen=True, kw_only=True):
    """A letter, or some of its kinds, that a family of chain may carry."""

    family: str
    letter: str
    kinds: str = ""
    standing: Standing
    standard: str = ""


class WeldingRow(Row, frozen=True, kw_only=True):
    """Whether, where and when attachments may be welded to a family of chain."""

    family: str
    permission: WeldingPermission
    where: str
    when: str = ""
    never: str


class LinkRow(Row, frozen=True, kw_only=True):
    """Whether the links of a family are all alike, and what its two kinds are called where they are not."""

    family: str
    pattern: LinkPattern
    outer: str = ""
    inner: str = ""


class Kind(Record, frozen=True, kw_only=True):
    """An attachment as asked for: its letter, and what is known of its number; None where the number is not listed."""

    name: str
    letter: LetterRow
    number: KindRow | None


class AttachmentReference(Record, frozen=True, kw_only=True):
    """The tables of attachments."""

    letters: dict[str, LetterRow]
    uses: dict[str, tuple[UseRow, ...]]
    kinds: dict[str, KindRow]
    families: tuple[FamilyAttachmentRow, ...]
    welding: dict[str, WeldingRow]
    links: dict[str, LinkRow]

    def get(self, text: str, field: str = "kind") -> Kind:
        """The attachment that is written so: ``A-1``, ``a1`` and ``A1`` are the same.

        Raises:
            NotInReference: code ``attachment_unknown``.
        """
        found = _KIND.fullmatch(text.strip().upper())
        letter = None if found is None else self.letters.get(found[1])
        if found is None or letter is None:
            known = [*self.letters, *self.kinds]
            raise NotInReference(
                Issue(
                    field,
                    "attachment_unknown",
                    f"No attachment {text[:60]!r} is listed.",
                    None,
                    text[:60],
                    f"Known letters: {', '.join(self.letters)}. Send SPECIAL for one that is made to a drawing.",
                ),
                nearest=tuple(name for name in known if text[:1].upper() == name[:1])[:5],
            )
        name = found[1] + found[2]
        return Kind(name=name, letter=letter, number=self.kinds.get(name))

    def of_family(self, family: str) -> tuple[FamilyAttachmentRow, ...]:
        """What a family may carry, in the order of the table."""
        return tuple(row for row in self.families if row.family == family)

    def carried(self, family: str, kind: Kind) -> tuple[FamilyAttachmentRow, ...]:
        """The rows that let a family carry an attachment; a row without numbers holds for every number."""
        return tuple(
            row
            for row in self.of_family(family)
            if row.letter == kind.letter.letter
            and (not row.kinds or kind.name == row.letter or kind.name in row.kinds.split())
        )


def load_attachments(families: Families, folder: Path = TABLES) -> AttachmentReference:
    """Load the tables of attachments.

    Raises:
        BadTable: a table breaks its card, names a letter or family that there is not, or leaves a family out.
    """
    letters = {row.letter: row for row in load_table("attachment_letters", LetterRow, folder).rows}
    kinds = load_table("attachment_kinds", KindRow, folder).rows
    uses = load_table("attachment_uses", UseRow, folder).rows
    carried = load_table("attachment_families", FamilyAttachmentRow, folder).rows
    welding = load_table("attachment_welding", WeldingRow, folder).rows
    links = load_table("chain_links", LinkRow, folder).rows
    used_letters = {
        "attachment_kinds": {row.letter for row in kinds},
        "attachment_uses": {row.letter for row in uses},
        "attachment_families": {row.letter for row in carried},
        "attachment_letters": {row.both_sides_letter for row in letters.values() if row.both_sides_letter},
    }
    for table, used in used_letters.items():
        if unknown := sorted(used - letters.keys()):
            raise BadTable(f"{table}.csv: no letter {unknown[0]} in attachment_letters.csv")
    ids = {family.id for family in families.families}
    for table, named in (
        ("attachment_welding", {row.family for row in welding}),
        ("chain_links", {row.family for row in links}),
    ):
        if odd := sorted(named ^ ids):
            raise BadTable(f"{table}.csv: {odd[0]} is missing or not in families.toml")
    if unknown := sorted({row.family for row in carried} - ids):
        raise BadTable(f"attachment_families.csv: no family {unknown[0]} in families.toml")
    return AttachmentReference(
        letters=letters,
        uses={letter: tuple(row for row in uses if row.letter == letter) for letter in letters},
        kinds={row.kind: row for row in kinds},
        families=carried,
        welding={row.family: row for row in welding},
        links={row.family: row for row in links},
    )
