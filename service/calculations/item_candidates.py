"""Sizes that a description may mean where it names none outright: by series, by dimensions, by number and family."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from itertools import pairwise
from typing import TYPE_CHECKING

from service.reference.chain_notes import ChainNote
from service.reference.designations import doubtful_round_links, series_candidates
from service.reference.records import Record, replace
from service.reference.round_link import USE_OF_SERIES

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from service.calculations.item_facts import Facts
    from service.calculations.item_reading import ItemReader, Part
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize

PITCH_SHARE, WIDTH_MM, NEXT_WIDTH_MM, AS_PRINTED_MM, ROLLER_MM = 0.003, 0.7, 0.55, 0.05, 0.1
"""How far dimensions in a description may lie from the printed ones: widths are quoted by the next fraction of an
inch, up to 0.6 mm away (7/16 in for the 11.68 mm of 12B); sizes as near as the best but for 0.55 mm stay candidates
(3/4 in is the width of 100 and of 20B), but for 0.05 mm where the width is told in hundredths of a millimetre."""
MOST_CANDIDATES = 10
LETTERS_OF_SERIES = 2
"""So many letters behind a number mostly name a series of it."""

_FAMILIES: dict[str, frozenset[str]] = {
    "silent": frozenset({"silent"}),
    "leaf": frozenset({"leaf"}),
    "round_link": frozenset({"round_link"}),
    "mill": frozenset({"welded_steel_mill", "cast_mill", "welded_steel_drag", "cast_drag"}),
    "drag": frozenset({"welded_steel_drag", "cast_drag"}),
    "pintle": frozenset({"steel_pintle", "cast_pintle"}),
    "detachable": frozenset({"detachable"}),
    "detachable_steel": frozenset({"detachable"}),
    "detachable_malleable": frozenset({"detachable"}),
    "combination": frozenset({"combination"}),
    "steel_bushed": frozenset({"engineering_steel"}),
    "offset_sidebar": frozenset({"engineering_steel"}),
    "rivetless": frozenset({"rivetless"}),
    "agricultural": frozenset({"agricultural"}),
    "flat_top": frozenset({"flat_top"}),
    "vehicle": frozenset(),
}
"""Families that a word for a kind of chain admits; a word that stands nowhere here admits all but those below."""
_NO_ROLLER = frozenset({"silent", "leaf", "round_link", "flat_top", "cast_mill", "cast_drag", "detachable"})
_SERIES_OF_STANDARD = {
    "series_a": ("ISO 606", ("a", "a_heavy")),
    "series_b": ("ISO 606", ("b",)),
    "inch": ("ASME", ("standard", "lightweight", "rollerless", "heavy")),
}
"""Words for a standard that fix the series of a roller chain."""
_SERIES_OF_HINT = {"detachable_steel": "pressed_steel", "detachable_malleable": "malleable"}
_ROUND_LINK: dict[str, Callable[[ChainSize], bool]] = {
    "en_818_7": lambda size: USE_OF_SERIES[size.row.series] == "hoist",
    "sling": lambda size: USE_OF_SERIES[size.row.series] == "sling",
    # Hoist chain of EN 818-7 is of grade T, which is sold as grade 80 too.
    "grade_8": lambda size: size.row.standard in ("EN 818-2", "EN 818-7"),
    "en_818_2": lambda size: size.row.standard == "EN 818-2",
    "grade_4": lambda size: size.row.standard == "EN 818-3",
    "din_766": lambda size: size.row.standard == "DIN 766",
    "din_764": lambda size: size.row.standard == "DIN 764",
    "other_round_link": lambda _: False,
}


class Settled(Record, frozen=True):
    """What a description was settled to; without a size the candidates say between which it stands."""

    size: ChainSize | None = None
    strand_count: int = 0
    probable: bool = False
    candidates: tuple[str, ...] = ()
    notes: tuple[ChainNote, ...] = ()
    ambiguous: bool = False


def between(sizes: Iterable[ChainSize], *notes: ChainNote) -> Settled:
    """Not settled between some sizes."""
    names = tuple(dict.fromkeys(size.designation for size in sizes))[:MOST_CANDIDATES]
    return Settled(candidates=names, ambiguous=bool(names), notes=notes)


def one_or_between(sizes: Sequence[ChainSize], strand_count: int = 0) -> Settled | None:
    """Probably the only one of some sizes, or not settled between them; None where there is none."""
    if len(sizes) == 1:
        return Settled(sizes[0], strand_count, probable=True)
    return between(sizes) if sizes else None


class CandidateFinder:
    """Finds the sizes that a description may mean."""

    def __init__(self, reference: Reference, reader: ItemReader, group: Callable[[ChainSize], str]) -> None:
        self._group = group
        self._chains = reference.chains
        self._reader = reader
        self._vehicles = reference.item_words.vehicle_numbers
        self._roller = _by_pitch(
            size
            for size in reference.chains.sizes
            if size.row.family == "roller" and not size.row.series.endswith("heavy")
        )
        self._silent = _by_pitch(size for size in reference.chains.sizes if size.row.family == "silent")
        self._round_link: dict[tuple[float, ...], list[ChainSize]] = {}
        self._numbered: dict[tuple[str, str], list[ChainSize]] = {}
        self._alike: dict[tuple[str, str], list[ChainSize]] = {}
        self._by_wire: dict[float, list[ChainSize]] = {}
        for size in reference.chains.sizes:
            number = re.sub(r"^[A-Z]+|[ -].*$", "", size.designation)
            self._numbered.setdefault((size.row.family, number), []).append(size)
            self._alike.setdefault((size.row.family, re.sub(r"[A-Z]+$", "", number)), []).append(size)
            if size.row.family == "round_link":
                self._by_wire.setdefault(_figure(size, "wire_diameter"), []).append(size)
                link = (_figure(size, "wire_diameter"), _figure(size, "pitch"))
                self._round_link.setdefault(link, []).append(size)

    def fits_family(self, size: ChainSize, said: Facts) -> bool:
        """Whether a size is of a kind that the words admit."""
        if not _ROUND_LINK.keys().isdisjoint(said.of("standard")):
            return size.row.family == "round_link" and all(test(size) for test in _tests(said))
        hints = said.of("family")
        named = [_FAMILIES[hint] for hint in hints if hint in _FAMILIES]
        if named:
            return any(size.row.family in families for families in named)
        return not (("roller" in hints or "double_pitch" in hints) and size.row.family in _NO_ROLLER)

    def before_letter(self, part: Part) -> ChainSize:
        """The size that is meant if the letter behind the blank is no part of its name."""
        found = self._reader.named(part.text.split()[0].removeprefix("#"))
        return self._chains.get(part.value) if found is None else found[0]

    def round_link(self, parts: Sequence[Part], said: Facts) -> Settled | None:
        """A round-link chain by wire and inside length, and what it serves."""
        wanted = _crossed(parts, "round_link", said)
        if wanted is not None:
            sizes = self._round_link.get(wanted, [])
        elif "round_link" in said.of("family") or any(value in _ROUND_LINK for value in said.of("standard")):
            wire = next((part.numbers[0] for part in parts if part.meaning == "measure" and part.value == "mm"), None)
            sizes = self._by_wire.get(wire, []) if wire is not None else []
            if not sizes:
                return None
        else:
            return None
        tests = _tests(said)
        fitting = [size for size in sizes if all(test(size) for test in tests)]
        settled = one_or_between(fitting)
        if settled is None:
            return Settled(candidates=tuple(size.designation for size in sizes))
        if settled.size is not None:
            return replace(settled, probable=wanted is None or not tests)
        message = "Round-link chains of this size are made for several uses."
        return replace(settled, notes=(ChainNote("application_needed", message, settled.candidates),))

    def dimensions(self, parts: Sequence[Part], said: Facts) -> Settled | None:
        """Roller chain by pitch, width between the inner plates and, where it is told, the roller."""
        wanted = _crossed(parts, "pitch_width_roller", said)
        if wanted is None and said.evidence and not any(hint in _FAMILIES for hint in said.of("family")):
            told = said.measures.pitch_mm, said.measures.width_mm
            wanted = (told[0], told[1]) if told[0] is not None and told[1] is not None else None
        if wanted is None:
            return None
        exact = any(re.match(r"[^X]*X *\d+[.,]\d\d", part.text) for part in parts if part.numbers == wanted)
        near = [
            (abs(_figure(size, "inner_width") - wanted[1]), size)
            for size in self._of_pitch(self._roller, wanted[0], said)
            if len(wanted) == 2 or abs(_figure(size, "roller_diameter") - wanted[2]) <= ROLLER_MM
        ]
        best = min((distance for distance, _ in near), default=WIDTH_MM)
        spread = AS_PRINTED_MM if exact else NEXT_WIDTH_MM
        sizes = [size for distance, size in near if distance <= min(best + spread, WIDTH_MM)]
        settled = self._one_or_between(sizes)
        return replace(settled, probable=len(wanted) == 2) if settled is not None else Settled()

    def incomplete(self, parts: Sequence[Part], said: Facts) -> Settled | None:
        """A number whose series letter is missing, misplaced or settled by the words."""
        left = [part.text.removeprefix("#") for part in parts if part.meaning == "leftover"]
        for text in left if said.evidence or len(left) == 1 else ():
            if re.fullmatch(r"2\d{3}", text) and (found := self._reader.named(f"C{text}")) is not None:
                return Settled(found[0], probable=True)
            if links := doubtful_round_links(self._chains, text):
                message = f"{text} may be the wire and pitch of a round link, such as 10x30."
                note = ChainNote("application_needed", message, links)
                return Settled(candidates=links, ambiguous=True, notes=(note,))
            if not re.fullmatch(r"\d{2}(-\d)?|\d{2,3}[AB](-\d)?", text):
                continue
            base, _, strands = text.partition("-")
            sizes = [self._chains.get(name) for name in series_candidates(self._chains, base)]
            if sizes:
                return one_or_between([size for size in sizes if _of_series(size, said)] or sizes, int(strands or 0))
        return None

    def number_of_family(self, parts: Sequence[Part], said: Facts) -> Settled | None:
        """A bare number with a word for the kind of chain, such as ``LEAF CHAIN 844``."""
        hints = [hint for hint in said.of("family") if _FAMILIES.get(hint)]
        numbers = [part.text.removeprefix("#") for part in parts if part.meaning in ("leftover", "size")]
        numbers += [part.text.partition("-")[0] for part in parts if re.fullmatch(r"\d{3}-\d/\d", part.text)]
        for hint in hints:
            series = _SERIES_OF_HINT.get(hint)
            sizes = [
                size
                for family in sorted(_FAMILIES[hint])
                for number in numbers
                for size in self._numbered.get((family, number), ())
                if series in (None, size.row.series)
            ]
            if sizes:
                return one_or_between(sizes)
            near = [
                size
                for family in sorted(_FAMILIES[hint])
                for number in numbers
                for size in self._alike.get((family, re.sub(r"^[A-Z]+|[A-Z]+$", "", number)), ())
                if series in (None, size.row.series)
            ]
            if near:
                return between(near)
        return None

    def by_pitch(self, said: Facts) -> Settled | None:
        """Roller or silent chain of a pitch, where nothing else is told."""
        hints = said.of("family")
        silent = "silent" in hints
        if not silent and any(hint in _FAMILIES for hint in hints):
            return None
        pitch = said.measures.pitch_mm
        if pitch is None and (said.of("strand_count") or "roller" in hints or silent):
            pitch = said.measures.loose_mm
        if pitch is None or not (said.evidence or said.of("strand_count")):
            return None
        sizes = self._of_pitch(self._silent if silent else self._roller, pitch, said)
        width = said.measures.width_mm
        if silent and width is not None:
            sizes = [size for size in sizes if abs(_figure(size, "nominal_width") - width) <= PITCH_SHARE * width]
        settled = self._one_or_between(sizes)
        # One width of silent chain is made with several guides, and a pitch alone names no width of roller chain.
        return between(sizes) if silent and sizes else settled

    def out_of_strands(self, parts: Iterable[Part]) -> Settled | None:
        """A known size with strands that the tables do not serve."""
        for part in parts:
            found = re.fullmatch(r"#?(.+)-(\d{1,2})", part.text) if part.meaning == "leftover" else None
            named = self._reader.named(found[1]) if found is not None else None
            if found is not None and named is not None and named[1] == 0:
                return beyond_strands(named[0], int(found[2]))
        return None

    def vehicle(self, parts: Iterable[Part]) -> Settled | None:
        """The number of a motor-cycle chain."""
        number = self.vehicle_number(parts)
        if number is None:
            return None
        message = f"{number} is a number of motor-cycle chain, which is no industrial size."
        return Settled(notes=(ChainNote("vehicle_series", message),))

    def vehicle_number(self, parts: Iterable[Part]) -> str | None:
        """The number of a motor-cycle chain among the words."""
        for part in parts:
            found = re.fullmatch(r"#?(\d{3})[A-Z]{0,3}", part.text) if part.meaning == "leftover" else None
            if found is not None and found[1] in self._vehicles:
                return found[1]
        return None

    def letters_apart(self, size: ChainSize, parts: Sequence[Part]) -> Settled | None:
        """A size with one or two letters behind it that say nothing here, where no strands stand between them."""
        for part, behind in pairwise(parts):
            short = behind.meaning == "leftover" and behind.text.isalpha() and len(behind.text) <= LETTERS_OF_SERIES
            if short and part.size is size and part.strand_count == 0:
                message = f"{behind.text} behind {part.text} says nothing here; the size may be another."
                return between([size], ChainNote("suffix_unknown", message, (size.designation,)))
        return None

    def wheel_letter(self, size: ChainSize, parts: Sequence[Part]) -> Settled | None:
        """Of ``SPROCKET 40A 30`` the letter may be the form of the hub, so that the wheel is one for 40."""
        base = self._chains.find(size.designation[:-1]) if size.designation[-1] in "ABC" else None
        if base is None:
            return None
        for part, behind in pairwise(parts):
            if part.size is size and behind.meaning in ("leftover", "size") and behind.text.isdecimal():
                return between([base, size])
        return None

    def unknown_suffix(self, parts: Iterable[Part]) -> Settled | None:
        """A known size with letters that say nothing here, or digits of no known lacing: never taken for the size."""
        for part in parts:
            if part.meaning != "leftover":
                continue
            found = re.fullmatch(r"#?([A-Z]*\d+[A-Z]??)([A-Z]+)", part.text)
            named = self._reader.named(found[1]) if found is not None else None
            if found is not None and named is None and (near := series_candidates(self._chains, found[1])):
                message = f"{found[2]} behind {found[1]} is no series here; {' or '.join(near)}?"
                return Settled(candidates=near, notes=(ChainNote("suffix_unknown", message, near),))
            if found is not None and named is not None:
                message = f"{found[2]} behind {found[1]} says nothing here; the size may be another."
                names = (named[0].designation,)
                return Settled(candidates=names, notes=(ChainNote("suffix_unknown", message, names),))
            twice = re.fullmatch(r"#?([A-Z]*\d+[A-Z]*)-\d{1,2}-\d{1,2}", part.text)
            if twice is not None and (named := self._reader.named(twice[1])) is not None:
                names = (named[0].designation,)
                message = f"{part.text} has two counts behind the size; write the size and its strands, such as 80-2."
                return Settled(candidates=names, notes=(ChainNote("designation_unreadable", message, names),))
            if re.fullmatch(r"(BL|LL|AL|LH)\d{3,4}", part.text):
                leaves = [size for size in self._chains.sizes if size.designation.startswith(part.text[:-2])]
                return replace(between(leaves), ambiguous=False)
        return None

    def of_another_standard(self, size: ChainSize, said: Facts) -> tuple[str, ...] | None:
        """Sizes of its pitch in the standard that the words name, where the roller chain is of another; else None."""
        named = _STANDARDS_OF_ROLLER_CHAIN.intersection(said.of("standard"))
        if not named or size.row.family != "roller" or named & _suiting(size):
            return None
        return tuple(other.designation for other in self._of_pitch(self._roller, _figure(size, "pitch"), said))

    def _one_or_between(self, sizes: Sequence[ChainSize]) -> Settled | None:
        """As ``one_or_between``; equal sizes of several standards count as one."""
        if len({self._group(size) for size in sizes}) == 1:
            return one_or_between(sizes[:1])
        return one_or_between(sizes)

    def _of_pitch(self, sizes: Sequence[tuple[float, ChainSize]], pitch_mm: float, said: Facts) -> list[ChainSize]:
        strands = max((int(value) for value in said.of("strand_count")), default=1)
        start = bisect_left(sizes, pitch_mm * (1 - PITCH_SHARE), key=_first)
        end = bisect_right(sizes, pitch_mm * (1 + PITCH_SHARE), key=_first)
        return [size for _, size in sizes[start:end] if size.row.max_strand_count >= strands and _of_series(size, said)]


def _by_pitch(sizes: Iterable[ChainSize]) -> list[tuple[float, ChainSize]]:
    return sorted(((_figure(size, "pitch"), size) for size in sizes), key=_first)


def _first(entry: tuple[float, ChainSize]) -> float:
    return entry[0]


def _crossed(parts: Sequence[Part], meaning: str, said: Facts) -> tuple[float, ...] | None:
    """Dimensions with a cross between them, where they can be those of a chain: nothing else is told of the item."""
    if not said.evidence and any(part.meaning in ("leftover", "prefix") for part in parts):
        return None
    return next((part.numbers for part in parts if part.meaning == meaning), None)


def beyond_strands(size: ChainSize, strand_count: int) -> Settled:
    """A size that is not served in so many strands."""
    message = f"Chain {size.designation} is served in up to {size.row.max_strand_count} strands, not {strand_count}."
    return Settled(candidates=(size.designation,), notes=(ChainNote("strands_out_of_range", message),))


def _tests(said: Facts) -> list[Callable[[ChainSize], bool]]:
    """What the words ask of a round-link chain."""
    return [_ROUND_LINK[value] for value in said.of("standard") if value in _ROUND_LINK]


def in_strands(size: ChainSize, counts: Iterable[int]) -> Settled:
    """Not settled between several numbers of strands of one size."""
    return Settled(candidates=tuple(f"{size.designation}-{count}" for count in sorted(counts)), ambiguous=True)


_STANDARDS_OF_ROLLER_CHAIN = frozenset(_SERIES_OF_STANDARD)


def _suiting(size: ChainSize) -> frozenset[str]:
    """Words for a standard that suit a roller chain; the inch standard has the sizes of series A."""
    return frozenset({"series_b"} if size.row.series == "b" else {"series_a", "inch"})


def _of_series(size: ChainSize, said: Facts) -> bool:
    """Whether a size is of the series that a standard in the words fixes."""
    wanted = {_SERIES_OF_STANDARD[value] for value in said.of("standard") if value in _SERIES_OF_STANDARD}
    return not wanted or any(
        size.row.standard.startswith(name) and size.row.series in series for name, series in wanted
    )


def _figure(size: ChainSize, quantity: str) -> float:
    found = size.find(quantity)
    return float("inf") if found is None else found.value
