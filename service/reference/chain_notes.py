"""What a reader of a size should know beside its figures: look-alikes, series and the standing of its standard."""

import re
from collections.abc import Iterable

from service.reference.chains import Chains, ChainSize
from service.reference.equivalents import EquivalentRow, Equivalents, Relation
from service.reference.records import Record

LIFTING_FAMILIES = frozenset({"leaf", "round_link", "hoist_roller"})
"""Families whose use or failure can drop a load; answers on them carry the cautions of lifting."""

_SHARED_NUMBERS = (
    frozenset({"leaf"}),
    frozenset({"welded_steel_mill", "cast_mill", "welded_steel_drag", "cast_drag"}),
    frozenset({"engineering_steel", "combination"}),
    frozenset({"detachable"}),
)
"""Families in which one number with other letters names another chain."""

_CODES: dict[Relation, str] = {
    "heavy_series_of": "series_differs",
    "conveyor_form_of": "series_differs",
    "double_pitch_of": "double_pitch",
    "large_roller_of": "look_alike",
    "look_alike": "look_alike",
}
_SENTENCES: dict[Relation, str] = {
    "heavy_series_of": "{one} is the heavy series of {other}; their connecting links differ: {note}.",
    "conveyor_form_of": "{one} is the conveyor form of {other}: {note}.",
    "double_pitch_of": "{one} has twice the pitch of {other}: {note}.",
    "large_roller_of": "{one} is {other} with a large roller: {note}.",
    "look_alike": "{one} and {other} are easily taken for each other: {note}.",
}


class ChainNote(Record, frozen=True):
    """A note with its stable code and the sizes it tells apart from this one."""

    code: str
    message: str
    others: tuple[str, ...] = ()


class ChainNotes:
    """Notes on every size; sizes that share a number are grouped once."""

    def __init__(self, chains: Chains, equivalents: Equivalents) -> None:
        self._equivalents = equivalents
        self._sharing: dict[tuple[int, str], list[ChainSize]] = {}
        for size in chains.sizes:
            if (key := _shared_number(size)) is not None:
                self._sharing.setdefault(key, []).append(size)

    def of(self, size: ChainSize) -> tuple[ChainNote, ...]:
        """Notes on a size, those from the table of relations first."""
        related = (
            _related(size.designation, row)
            for row in self._equivalents.of(size.designation)
            if row.relation != "same_size_other_standard"
        )
        return (*related, *self._same_number(size), *_standing(size))

    def _same_number(self, size: ChainSize) -> Iterable[ChainNote]:
        key = _shared_number(size)
        others = tuple(other for other in self._sharing.get(key, ()) if other is not size) if key else ()
        if others:
            described = ", ".join(f"{other.designation} ({_described(other)})" for other in others)
            message = f"{size.designation} ({_described(size)}) shares its number with other chains: {described}."
            yield ChainNote("look_alike", message, tuple(other.designation for other in others))


def _related(designation: str, row: EquivalentRow) -> ChainNote:
    other = row.other if row.designation == designation else row.designation
    message = _SENTENCES[row.relation].format(one=row.designation, other=row.other, note=row.note)
    return ChainNote(_CODES[row.relation], message, (other,))


def _shared_number(size: ChainSize) -> tuple[int, str] | None:
    """Group of families and number without letters, of a size whose number stands for several chains."""
    number = re.search(r"\d+", size.designation)
    for group, families in enumerate(_SHARED_NUMBERS):
        if size.row.family in families and number is not None:
            return group, number[0]
    return None


def _described(size: ChainSize) -> str:
    pitch = size.find("pitch")
    words = f"{size.row.family}, {size.row.series}".replace("_", " ")
    return words if pitch is None else f"{words}, pitch {pitch.value:.6g} mm"


def _standing(size: ChainSize) -> Iterable[ChainNote]:
    """The size stands in no current standard, or its row has a word of its own."""
    row = size.row
    if row.standard.startswith("none") or row.series == "al":
        message = f"{size.designation} belongs to a series that no current international standard lists."
        yield ChainNote("series_not_current", f"{message[:-1]}: {row.note}." if row.note else message)
    elif row.note:
        yield ChainNote("size_note", f"{row.note[0].upper()}{row.note[1:]}.")
