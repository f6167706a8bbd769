"""Families of chain: what is known of each, statement by statement, and how well each meets a criterion of choice."""

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Literal, TypeVar

import msgspec

from service.core.errors import Issue, NotInReference
from service.reference.chains import SizeRow
from service.reference.errors import BadTable
from service.reference.loader import TABLES, Row, load_table
from service.reference.toml_files import read_toml

HERE = Path(__file__).parent
ANY = "any"
"""Family of a statement that holds for chains of every kind."""

LoadClass = Literal["light", "light_medium", "medium", "medium_heavy", "heavy", "very_heavy"]
SpeedClass = Literal["creeping", "slow", "medium", "fast"]
Making = Literal["cast", "pressed", "welded", "welded_bar", "bent_bar", "forged", "machined", "built_up", "moulded"]
SizesHeld = Literal["tables", "some_figures", "own_dimensions"]
CriterionKind = Literal["purpose", "strain", "wish", "feature"]


class SizeGroup(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Sizes that belong to a family: the family of the size tables and the start of its series."""

    family: str
    series: str

    def holds(self, size: SizeRow) -> bool:
        """Whether a size belongs to this group."""
        return size.family == self.family and size.series.startswith(self.series)


class Family(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One family of chain.

    ``sizes`` says what the tables hold: sizes with their figures, some figures only, or nothing, so that the caller
    enters the dimensions of the chain. ``load_class``, ``speed_class`` and ``made_by`` are common practice.
    """

    id: str
    name: str
    also_called: tuple[str, ...]
    sizes: SizesHeld
    load_class: LoadClass
    speed_class: SpeedClass
    made_by: tuple[Making, ...]
    size_groups: tuple[SizeGroup, ...] = ()


class Topic(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One subject on which statements are made."""

    id: str
    meaning: str


class Criterion(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One criterion of choice: a purpose, a strain the place puts on the chain, a wish, or a feature it must have."""

    id: str
    kind: CriterionKind
    question: str


class StatementRow(Row, frozen=True, kw_only=True):
    """One row of table ``family_statements``."""

    family: str
    topic: str
    statement: str


class RatingRow(Row, frozen=True, kw_only=True):
    """One row of table ``family_ratings``: 0 unfit, 1 poor, 2 fair, 3 good, 4 first choice."""

    family: str
    criterion: str
    rating: Annotated[int, msgspec.Meta(ge=0, le=4)]
    reason: str


class _Listed(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    topic: tuple[Topic, ...]
    criterion: tuple[Criterion, ...]
    family: tuple[Family, ...]


class Families:
    """All families with their statements and ratings."""

    def __init__(self, listed: _Listed, statements: Iterable[StatementRow], ratings: Iterable[RatingRow]) -> None:
        self.families = listed.family
        self._of_kind: dict[tuple[str, str], Family | None] = {}
        self.topics = listed.topic
        self.criteria = listed.criterion
        self._families = _by_id(listed.family)
        topics, criteria = _by_id(listed.topic), _by_id(listed.criterion)
        self._statements: dict[tuple[str, str], list[StatementRow]] = {}
        for statement in statements:
            if statement.family not in {*self._families, ANY} or statement.topic not in topics:
                raise BadTable(f"family_statements.csv: no {statement.family} / {statement.topic} in families.toml")
            self._statements.setdefault((statement.family, statement.topic), []).append(statement)
        self._ratings = {(row.family, row.criterion): row for row in ratings}
        wanted = {(family, criterion) for family in self._families for criterion in criteria}
        if odd := sorted(wanted ^ self._ratings.keys()):
            raise BadTable(f"family_ratings.csv: {' / '.join(odd[0])} is missing or not in families.toml")

    def get(self, identifier: str, field: str = "family") -> Family:
        """The family of an id.

        Raises:
            NotInReference: code ``family_unknown``.
        """
        family = self._families.get(identifier)
        if family is None:
            raise NotInReference(
                Issue(
                    field,
                    "family_unknown",
                    f"No family of chain has the id {identifier[:60]!r} here.",
                    None,
                    identifier[:60],
                    f"Known: {', '.join(self._families)}.",
                )
            )
        return family

    def of_size(self, size: SizeRow) -> Family | None:
        """The family to which a size belongs; None for a size of a family that is not described here."""
        kind = (size.family, size.series)
        if kind not in self._of_kind:
            holding = (family for family in self.families if any(group.holds(size) for group in family.size_groups))
            self._of_kind[kind] = next(holding, None)
        return self._of_kind[kind]

    def statements(self, identifier: str, topic: str | None = None) -> tuple[StatementRow, ...]:
        """Statements on a family, or ``any``, in the order of the topics; of one topic or of all."""
        topics = (topic,) if topic is not None else tuple(entry.id for entry in self.topics)
        return tuple(row for name in topics for row in self._statements.get((identifier, name), ()))

    def rating(self, identifier: str, criterion: str) -> RatingRow:
        """How well a family meets a criterion; KeyError for an id that is not in ``families.toml``."""
        return self._ratings[identifier, criterion]


Identified = TypeVar("Identified", Family, Topic, Criterion)


def _by_id(entries: Iterable[Identified]) -> dict[str, Identified]:
    by_id: dict[str, Identified] = {}
    for entry in entries:
        if by_id.setdefault(entry.id, entry) is not entry:
            raise BadTable(f"families.toml: {entry.id} stands twice")
    return by_id


def load_families(folder: Path = HERE) -> Families:
    """Read the list of families, its statements and its ratings.

    Raises:
        BadTable: the list does not fit its form, or a statement or rating names an unknown id, or a rating is missing.
    """
    listed, tables = folder / "families.toml", folder / TABLES.name
    try:
        known = read_toml(listed, _Listed)
    except (OSError, msgspec.DecodeError) as error:
        raise BadTable(f"{listed.name}: {error}") from error
    return Families(
        known,
        load_table("family_statements", StatementRow, tables).rows,
        load_table("family_ratings", RatingRow, tables).rows,
    )
