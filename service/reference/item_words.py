"""Words of item descriptions: what each says of a chain, where it may stand, and the one that normal form uses."""

from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table

Place = Literal["word", "suffix", "prefix", "hub", "code"]
Meaning = Literal[
    "component",
    "family",
    "strand_count",
    "series",
    "series_doubt",
    "joint",
    "material",
    "finish",
    "variant",
    "attachment",
    "spacing",
    "ordinal",
    "standard",
    "unit",
    "other_unit",
    "pitch_word",
    "width_word",
    "bore_word",
    "hub",
    "packing",
    "counted",
    "filler",
    "with",
    "for",
    "or",
    "foreign",
]


class ItemWordRow(Row, frozen=True, kw_only=True):
    """One phrase: a word, or what is joined to a designation or number."""

    phrase: str
    meaning: Meaning
    value: str
    place: Place
    language: Literal["en", "other"]


class VehicleNumberRow(Row, frozen=True, kw_only=True):
    """The number of a motor-cycle chain, which is no industrial size."""

    number: str
    pitch_mm: float


class ItemWords:
    """Phrases by place, the longest phrase, and the phrase of normal form for each meaning."""

    def __init__(self, table: Table[ItemWordRow], vehicles: Table[VehicleNumberRow]) -> None:
        self._by_place: dict[Place, dict[str, ItemWordRow]] = {}
        self._normal: dict[tuple[str, str], str] = {}
        for row in table.rows:
            self._by_place.setdefault(row.place, {})[row.phrase] = row
            if row.place == "word":
                self._normal.setdefault((row.meaning, row.value), row.phrase)
        self.words_in_longest = max(len(phrase.split()) for phrase in self._by_place["word"])
        self.vehicle_numbers = {row.number: row for row in vehicles.rows}

    def at(self, place: Place) -> dict[str, ItemWordRow]:
        """Phrases of a place."""
        return self._by_place[place]

    def normal(self, meaning: str, value: str) -> str:
        """The phrase that says this in normal form; KeyError where nothing does."""
        return self._normal[meaning, value]


def load_item_words(folder: Path = TABLES) -> ItemWords:
    """Load ``item_words`` and ``vehicle_numbers``; BadTable if one breaks its card."""
    return ItemWords(
        load_table("item_words", ItemWordRow, folder), load_table("vehicle_numbers", VehicleNumberRow, folder)
    )
