"""Chain sizes of every family: designation, series, aliases and figures, and their look-up."""

import difflib
import unicodedata
from bisect import bisect_left
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Literal, TypeVar

import msgspec

from service.core.errors import Issue, NotInReference
from service.reference.errors import BadTable
from service.reference.figures import Figure, load_figures
from service.reference.loader import TABLES, Row, load_table, names_by_kind

Family = Literal[
    "roller",
    "bush",
    "double_pitch_roller",
    "silent",
    "engineering_steel",
    "welded_steel_mill",
    "welded_steel_drag",
    "combination",
    "cast_pintle",
    "cast_mill",
    "cast_drag",
    "steel_pintle",
    "rivetless",
    "conveyor",
    "agricultural",
    "detachable",
    "flat_top",
    "leaf",
    "round_link",
    "hoist_roller",
    "vehicle",
]


class SizeRow(Row, frozen=True, kw_only=True):
    """One row of a ``sizes`` table: what the standard calls a chain and how many strands it tabulates.

    ``series`` is a plain word that tells sizes of one family and standard apart (``heavy``, ``a``, ``rollerless``).
    """

    designation: str
    family: Family
    series: str
    standard: str
    max_strand_count: Annotated[int, msgspec.Meta(ge=1)] = 1


class AliasRow(Row, frozen=True, kw_only=True):
    """One row of an ``aliases`` table: another name of a size."""

    designation: str
    alias: str
    scheme: str
    status: Literal["current", "superseded", "informal"]


class ChainSize(msgspec.Struct, frozen=True, kw_only=True):
    """A size with all its figures, the preferred source of each quantity first."""

    row: SizeRow
    aliases: tuple[AliasRow, ...]
    figures: tuple[Figure, ...]

    @property
    def designation(self) -> str:
        """The canonical designation of one strand."""
        return self.row.designation

    def find(self, quantity: str, strand_count: int = 1) -> Figure | None:
        """The preferred figure of a quantity for a number of strands, or None where the tables have a hole."""
        best: Figure | None = None
        for figure in self.figures:
            if (
                figure.quantity == quantity
                and figure.strand_count in (None, strand_count)
                and (best is None or figure.rank < best.rank)
            ):
                best = figure
        return best

    def figure(self, quantity: str, strand_count: int = 1) -> Figure:
        """The preferred figure of a quantity.

        Raises:
            NotInReference: code ``figure_not_in_reference``; a hole is never filled by a guess.
        """
        found = self.find(quantity, strand_count)
        if found is None:
            words = quantity.replace("_", " ")
            strands = f" in {strand_count} strands" if strand_count > 1 else ""
            raise NotInReference(
                Issue(
                    "chain",
                    "figure_not_in_reference",
                    f"The tables hold no {words} of chain {self.designation}{strands}.",
                    None,
                    self.designation,
                    f"Enter the {words} of your chain as your own figure.",
                )
            )
        return found


ROLLER_FAMILIES: frozenset[Family] = frozenset({"roller", "double_pitch_roller"})
"""Families that are made in several strands, rated for power, and strong by their tensile strength."""

OWN = "caller"
"""Source id of figures that a caller entered for a chain of its own."""


def own_size(name: str, figures: dict[str, float], family: Family = "roller", *, field: str = "own_chain") -> ChainSize:
    """A size made of a caller's own figures, in canonical units; every figure says whose it is.

    ``field`` is the input that held them, to which assumptions about them point; it is the locator of each figure.
    """
    row = SizeRow(
        designation=name,
        family=family,
        series="own",
        standard="none",
        max_strand_count=1,
        source_id=OWN,
        locator=field,
        confidence="practice",
    )
    return ChainSize(
        row=row,
        aliases=(),
        figures=tuple(
            Figure(
                quantity=quantity,
                value=value,
                unit="",
                printed_value=value,
                printed_unit="",
                side="nominal",
                strand_count=None,
                note="",
                table="request",
                rank=0,
                source_id=OWN,
                locator=field,
                confidence="practice",
            )
            for quantity, value in figures.items()
        ),
    )


PITCH_AGREEMENT = 5e-4
"""Relative difference within which two pitches are the same print: 15.88 and 15.875 mm are."""


class Chains:
    """All sizes by designation and alias; look-ups ignore case, blanks, the width of digits and a leading #."""

    def __init__(self, sizes: Iterable[ChainSize]) -> None:
        self.sizes = tuple(sizes)
        self._by_name: dict[str, ChainSize] = {}
        for size in self.sizes:
            for name in (size.designation, *(alias.alias for alias in size.aliases)):
                taken = self._by_name.setdefault(fold(name), size)
                if taken is not size:
                    raise BadTable(f"aliases: {name} names both {taken.designation} and {size.designation}")
        self._names = sorted(self._by_name)
        self._pitches_mm = sorted({f.value for size in self.sizes for f in size.figures if f.quantity == "pitch"})

    def is_pitch(self, pitch_mm: float) -> bool:
        """Whether a size of any family has this pitch, as closely as conversions of print agree."""
        place = bisect_left(self._pitches_mm, pitch_mm * (1 - PITCH_AGREEMENT))
        return place < len(self._pitches_mm) and self._pitches_mm[place] <= pitch_mm * (1 + PITCH_AGREEMENT)

    @property
    def smallest_pitch_mm(self) -> float:
        """Smallest pitch of any family."""
        return self._pitches_mm[0]

    def find(self, name: str) -> ChainSize | None:
        """The size of a designation or alias, without strand suffix; None if unknown."""
        return self._by_name.get(fold(name))

    def get(self, name: str, field: str = "chain") -> ChainSize:
        """The size of a designation or alias.

        Raises:
            NotInReference: code ``designation_unknown`` with the nearest names.
        """
        size = self.find(name)
        if size is None:
            nearest = self.nearest(name)
            hint = f"Nearest known: {', '.join(nearest)}." if nearest else "GET /v1/chains lists all sizes."
            raise NotInReference(
                Issue(field, "designation_unknown", f"No chain is called {name[:60]!r} here.", None, name[:60], hint),
                nearest=nearest,
            )
        return size

    def nearest(self, name: str, count: int = 5) -> tuple[str, ...]:
        """Designations whose name or alias is most like a text, best first."""
        close = difflib.get_close_matches(fold(name)[:40], self._names, n=3 * count, cutoff=0.4)
        designations = dict.fromkeys(self._by_name[text].designation for text in close)
        return tuple(designations)[:count]


def fold(name: str) -> str:
    """A name as it is compared: full-width digits and unusual dashes made plain, blanks and a leading # dropped."""
    plain = name if name.isascii() else unicodedata.normalize("NFKC", name).translate(_DASHES)
    return "".join(plain.split()).removeprefix("#").upper()


_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2212"), "-")


NamedRow = TypeVar("NamedRow", SizeRow, AliasRow)


def _rows(names: list[str], row_type: type[NamedRow], folder: Path) -> list[tuple[str, NamedRow]]:
    """All rows of some tables, each with the name of its table."""
    return [(name, row) for name in names for row in load_table(name, row_type, folder).rows]


def load_chains(folder: Path = TABLES) -> Chains:
    """Join the tables of sizes, aliases and figures of every family.

    Raises:
        BadTable: a size stands in two tables, a figure or alias belongs to no size, or a name is ambiguous.
    """
    names = names_by_kind(folder)
    sizes: dict[str, SizeRow] = {}
    for name, row in _rows(names.get("sizes", []), SizeRow, folder):
        if sizes.setdefault(row.designation, row) is not row:
            raise BadTable(f"{name}.csv: {row.designation} stands in two tables of sizes")
    aliases: dict[str, list[AliasRow]] = {}
    for name, alias in _rows(names.get("aliases", []), AliasRow, folder):
        if alias.designation not in sizes:
            raise BadTable(f"{name}.csv: {alias.designation} is in no table of sizes")
        aliases.setdefault(alias.designation, []).append(alias)
    figures: dict[str, list[Figure]] = {}
    for name in names.get("figures", []):
        for designation, found in load_figures(name, folder).items():
            if designation not in sizes:
                raise BadTable(f"{name}.csv: {designation} is in no table of sizes")
            figures.setdefault(designation, []).extend(found)
    return Chains(
        ChainSize(
            row=row,
            aliases=tuple(aliases.get(designation, ())),
            figures=tuple(sorted(figures.get(designation, ()), key=lambda figure: (figure.quantity, figure.rank))),
        )
        for designation, row in sizes.items()
    )
