"""Which chain a description means; a doubt is answered with the candidates, never with a guess.

Sizes that differ in series, in pitch or in standard are never merged: a heavy chain is no plain one, 41 is not 40,
16A is not 16B, and a double pitch chain is not its base size.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.item_candidates import CandidateFinder, Settled, between, beyond_strands, in_strands
from service.calculations.item_facts import Facts, facts
from service.calculations.item_numbers import numbers_settled
from service.calculations.item_reading import ItemReader, Part
from service.calculations.item_series import SeriesWords
from service.core.item_text import MAX_TEXT, check_digit
from service.reference.chain_notes import ChainNote, ChainNotes
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize

Resolution = Literal["exact", "normalised", "probable", "ambiguous", "none"]
ITEM_NUMBER_LENGTHS = frozenset({8, 12, 13, 14})
PITCH_TOLERANCE = 0.02
"""A pitch in words that differs more from the named size is a contradiction; 1/2 in and 12.7 mm never do."""


class DesignationMatch(Record, frozen=True):
    """What a description means."""

    text: str
    resolution: Resolution
    size: ChainSize | None
    strand_count: int
    candidates: tuple[str, ...]
    notes: tuple[ChainNote, ...]
    parts: tuple[Part, ...]
    facts: Facts

    @property
    def leftover(self) -> tuple[str, ...]:
        """Words that were not understood."""
        return tuple(part.text for part in self.parts if part.meaning in _LEFT_OVER)


_LEFT_OVER = frozenset({"leftover", "prefix", "item_number", "foreign", "count", "other_unit"})

_TOLD_OF_A_MATCH = frozenset({"look_alike", "series_not_current"})
"""Notes on a size that whoever cleans a list has to see; the others stand on the sheet of the size."""


class DesignationMatcher:
    """Matches descriptions to sizes; built once for the reference data."""

    def __init__(self, reference: Reference) -> None:
        self._reader = ItemReader(reference)
        self._series = SeriesWords(reference)
        self._find = CandidateFinder(reference, self._reader, self._series.group)
        self._chain_notes = ChainNotes(reference.chains, reference.equivalents)
        self._standing: dict[str, tuple[ChainNote, ...]] = {}

    def group(self, size: ChainSize) -> str:
        """One name for a size and its equals in other standards."""
        return self._series.group(size)

    def match(self, text: str) -> DesignationMatch:
        """What one description means."""
        if len(text) > MAX_TEXT:
            note = ChainNote("text_too_long", f"The text has {len(text)} characters; {MAX_TEXT} are read.")
            return DesignationMatch(text[:MAX_TEXT], "none", None, 0, (), (note,), (), facts(()))
        parts = numbers_settled(self._reader.read(text))
        said = facts(parts)
        settled = self._settle(parts, said)
        if settled.size is not None and (settled := self._with_strands(settled, said)).size is not None:
            settled = self._agreeing(settled, said)
        notes = (*settled.notes, *_reading_notes(parts, settled))
        if "item_number" in said.values:
            notes += tuple(_number_notes(parts))
        if settled.size is not None:
            notes += self._standing_of(settled.size)
        return DesignationMatch(
            text=text,
            resolution=_resolution(text, said, settled),
            size=settled.size,
            strand_count=max(settled.strand_count, 1) if settled.size is not None else 0,
            candidates=settled.candidates,
            notes=notes,
            parts=tuple(parts),
            facts=said,
        )

    def _standing_of(self, size: ChainSize) -> tuple[ChainNote, ...]:
        """What is to be said of every item of a size; found once for each size."""
        found = self._standing.get(size.designation)
        if found is None:
            found = tuple(note for note in self._chain_notes.of(size) if note.code in _TOLD_OF_A_MATCH)
            self._standing[size.designation] = found
        return found

    def _settle(self, parts: list[Part], said: Facts) -> Settled:
        if said.foreign:
            return Settled()
        sizes = [part for part in parts if part.size is not None]
        alone = said.component is None and _LEFT_OVER.isdisjoint(said.values)
        bare = (said.evidence or alone) and ("leftover" not in said.values or not self._find.vehicle_number(parts))
        usable = [part for part in sizes if bare or not _is_weak(part)]
        usable = [part for part in usable if part.size is not None and self._find.fits_family(part.size, said)]
        if not usable:
            return self._without_size(parts, sizes, said)
        settled = self._chosen(usable, said)
        size = settled.size
        if size is not None and said.component == "sprocket" and (found := self._find.wheel_letter(size, parts)):
            return found
        if size is not None and "leftover" in said.values and (found := self._find.letters_apart(size, parts)):
            return found
        return settled

    def _chosen(self, usable: list[Part], said: Facts) -> Settled:
        """The one size that is named, or the several."""
        choice = [part.size for part in usable if part.how == "choice" and part.size is not None]
        if len(set(map(self._series.group, choice))) > 1:
            return between(choice)
        heaviest = usable
        if len(usable) > 1:
            best = max(map(_weight, usable))
            heaviest = [part for part in usable if _weight(part) == best]
        groups = {self._series.group(part.size) for part in heaviest if part.size is not None}
        if len(groups) > 1:
            return between(part.size for part in heaviest if part.size is not None)
        same = [part for part in usable if part.size is not None and self._series.group(part.size) in groups]
        part = same[0]
        if part.how == "doubtful" and part.size is not None:
            return between([self._find.before_letter(part), part.size])
        if part.how == "prefixed" and not said.evidence and part.size is not None:
            return between([part.size])
        counts = sorted({part.strand_count for part in same if part.strand_count})
        if len(counts) > 1 and part.size is not None:
            return in_strands(part.size, counts)
        dropped = len(same) < len(usable)
        return self._series.settle(
            Settled(
                part.size,
                counts[0] if counts else 0,
                probable=dropped or part.how in ("corrected", "prefixed"),
            ),
            said,
        )

    def _without_size(self, parts: Sequence[Part], sizes: list[Part], said: Facts) -> Settled:
        """What dimensions, an incomplete name or a number with its family say."""
        for settled in (
            self._find.round_link(parts, said),
            self._find.dimensions(parts, said),
            self._find.incomplete(parts, said),
            self._find.number_of_family(parts, said),
            self._find.by_pitch(said),
            self._find.out_of_strands(parts),
            self._find.vehicle(parts),
            self._find.unknown_suffix(parts),
        ):
            if settled is not None:
                return settled
        named = [part.size for part in sizes if part.size is not None and self._find.fits_family(part.size, said)]
        if named and all(part.meaning != "leftover" for part in parts):
            return between(named)
        return Settled(candidates=tuple(dict.fromkeys(size.designation for size in named)))

    def _with_strands(self, settled: Settled, said: Facts) -> Settled:
        size = settled.size
        words = {int(value) for value in said.of("strand_count")}
        counts = {count for count in (settled.strand_count, *words) if count}
        if size is None or not counts:
            return settled
        if len(counts) > 1:
            return replace(in_strands(size, counts), notes=settled.notes)
        (count,) = counts
        if count > size.row.max_strand_count:
            return beyond_strands(size, count)
        return Settled(size, count, settled.probable, settled.candidates, settled.notes)

    def _agreeing(self, settled: Settled, said: Facts) -> Settled:
        """The same, unless the pitch or the standard in words is another than that of the size."""
        if settled.size is not None and (others := self._find.of_another_standard(settled.size, said)) is not None:
            names = (settled.size.designation, *others)
            row = settled.size.row
            message = f"The standard in words has no {names[0]}; that is of {row.standard}, series {row.series}."
            return Settled(candidates=names, ambiguous=True, notes=(ChainNote("standard_differs", message, others),))
        stated = said.measures.pitch_mm
        pitch = settled.size.find("pitch") if settled.size is not None and stated is not None else None
        if pitch is None or stated is None or abs(stated - pitch.value) <= PITCH_TOLERANCE * pitch.value:
            return settled
        name = settled.size.designation if settled.size is not None else ""
        message = f"The pitch in words is {stated:.6g} mm; {name} has {pitch.value:.6g} mm."
        return Settled(candidates=(name,), ambiguous=True, notes=(ChainNote("pitch_differs", message),))


def _is_weak(part: Part) -> bool:
    """A bare number, or M with a number as screw threads have it: no name of a chain on its own."""
    return part.text.removeprefix("M").isdecimal()


def _weight(part: Part) -> int:
    """How much a name claims to be the size: a sign or prefix of the trade, letters, strands."""
    return 2 * (not _is_weak(part)) + part.text.startswith("#") + (part.strand_count > 0)


def _resolution(text: str, said: Facts, settled: Settled) -> Resolution:
    if settled.size is None:
        return "ambiguous" if settled.ambiguous else "none"
    name = settled.size.designation
    if text in (name, f"{name}-{settled.strand_count}"):
        return "exact"
    unread = not _LEFT_OVER.isdisjoint(said.values)
    return "probable" if settled.probable or unread else "normalised"


def _reading_notes(parts: Iterable[Part], settled: Settled) -> Iterable[ChainNote]:
    for part in parts:
        if part.how == "corrected" and part.size is settled.size:
            yield ChainNote("character_corrected", f"{part.text} was read as {part.value}.", (part.value,))
        elif part.meaning == "prefix":
            yield ChainNote("unrecognised_prefix", f"{part.text} before the number says nothing here and was left out.")


def _number_notes(parts: Iterable[Part]) -> Iterable[ChainNote]:
    """What a long number of digits is, and whether its check digit holds."""
    for part in parts:
        if part.meaning != "item_number":
            continue
        wanted = check_digit(digits=part.text[:-1])
        if len(part.text) in ITEM_NUMBER_LENGTHS and part.text[-1] != str(wanted) and len(part.text) > 8:
            message = f"{part.text} has the length of a trade item number; its check digit would be {wanted}."
            yield ChainNote("check_digit_wrong", message)
        else:
            yield ChainNote("not_a_designation", f"{part.text} is the number of an item; sizes are read here.")
