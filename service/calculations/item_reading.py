"""Item descriptions parted into words, sizes and measures; every part is understood or left over, none is guessed."""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from service.calculations.item_measures import MEASURE, NUMBER, dimensions, figure
from service.core.item_text import MAX_TEXT, chunks, plain
from service.reference.chains import ROLLER_FAMILIES, fold
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize

How = Literal["", "name", "doubtful", "corrected", "prefixed", "choice"]
"""How a size was read: as it is named, with a letter over a blank that may belong elsewhere, with a slip of the key
put right, behind an unknown prefix, or as one of several in the choice."""

MOST_JOINED, MOST_PIECES, LONGEST_NAME = 4, 12, 24
"""Bounds of the search: chunks of one name, words joined by dashes, characters of a name."""
MOST_REMEMBERED = 4096
"""Chunks whose reading is kept: the words of a stock list come again in most of its lines."""
MOST_WHOLE_INCHES = 12
"""A greater number before a fraction is a size beside its pitch, as in ``40 5/8``."""
LEAST_TEETH = 6
"""No wheel has fewer; a smaller number behind a size and a letter is something else."""
_TEETH = re.compile(r"Z=?(\d{1,3})")
_HUB = re.compile(r"(A|BS|B|C)-?(\d{1,3})(?=HX\d|H$|X\d|[^\dA-Z]|$)")
_ATTACHMENT = re.compile(r"([A-Z]{1,3})-?([1-9])(?![\dA-Z])")
_PREFIXED = re.compile(r"([A-Z]{2,4})-?(\d.*)")
_FORM = re.compile(r"([A-F])-?(\d{2,4})(?!\d)")
"""Form of the roller and pitch in millimetres behind the size of conveyor chain, ``M112-A-160``."""
_DIMENSION = re.compile(rf"({NUMBER})(MM|IN|\"|'')([PW])")
_BORE = re.compile(rf"X({NUMBER})")
_MEASURED = re.compile(rf"({NUMBER})([A-Z]+|['\"]+)")
_LETTER_DASH = re.compile(r"(?<=[A-Z])-(?=\d)|(?<=\d)-(?=[A-Z])")
_STRANDS_BEHIND_STROKE = re.compile(r"(?<=[A-Z])/(?=[1-6]$)")
_ITEM_NUMBER = re.compile(r"\d{6,14}")
_SERIES_LETTERS = frozenset({"BL", "LL", "AL", "LH", "SC"})
"""Letters after which the digits of a designation are often parted."""
_SLIPS = str.maketrans("OIL", "011")
_WITHOUT_WHEEL = frozenset({"conveyor", "leaf", "round_link", "silent", "flat_top"})
"""Families whose wheels are not called by size, hub and teeth."""
_RIVETED = ROLLER_FAMILIES | {"leaf"}
"""Families in which an R behind the size says that the chain is riveted."""
_CHAIN_IN_ONE_WORD = re.compile(r"([A-Z]{4,})-?(KETTEN?)")


class Part(Record, frozen=True):
    """One part of a description.

    ``numbers`` are the figures of a measure, whose unit ``value`` names; ``size`` and ``strand_count`` belong to a
    size, where a strand count of zero means that none was named.
    """

    text: str
    meaning: str
    value: str = ""
    numbers: tuple[float, ...] = ()
    size: ChainSize | None = None
    strand_count: int = 0
    how: How = ""


class ItemReader:
    """Reads descriptions by the words and names of the reference data."""

    def __init__(self, reference: Reference) -> None:
        words = reference.item_words
        self._words = words.at("word")
        self._suffixes = words.at("suffix")
        self._prefixes = words.at("prefix")
        self._hubs = words.at("hub")
        self._attachments = words.at("code")
        self._names = dict(_names(reference))
        self._listed = {size.designation.upper(): size for size in reference.chains.sizes if " " in size.designation}
        self._series = frozenset(letters[0] for name in self._names if (letters := re.match(r"[A-Z]+", name)))
        self._phrases = _longest_from_two_words((*self._words, *self._listed))
        self._beginnings = frozenset(name[:end] for name in self._names for end in range(1, len(name) + 1))
        self._one = lru_cache(maxsize=MOST_REMEMBERED)(self._read_one)
        self._readers: tuple[Callable[[str], list[Part] | None], ...] = (
            self._word,
            self._word_of_chain,
            self._name,
            self._teeth,
            self._attachment,
            self._compound,
            self._led,
            self._corrected,
            self._item_number,
            self._pieces,
            self._prefixed,
        )

    def named(self, name: str) -> tuple[ChainSize, int] | None:
        """Size and strands of a name as ``fold`` leaves it; strands 0 where it names none."""
        return self._names.get(name)

    def read(self, text: str) -> list[Part]:
        """The parts of a description in their order; what is not understood has the meaning ``leftover``."""
        return self._read(chunks(plain_text=plain(text=text[:MAX_TEXT])))

    def _read(self, pieces: list[str]) -> list[Part]:
        parts: list[Part] = []
        at = 0
        while at < len(pieces):
            found = self._over_blanks(pieces, at) or self._measure(pieces, at) or (self._one(pieces[at]), at + 1)
            parts += found[0]
            at = found[1]
        return parts

    def _read_one(self, piece: str) -> list[Part]:
        for reader in self._readers:
            if (parts := reader(piece)) is not None:
                return parts
        return [Part(piece, "leftover")]

    def _over_blanks(self, pieces: list[str], at: int) -> tuple[list[Part], int] | None:
        """The longest phrase or name that stands over several chunks."""
        if at + 1 >= len(pieces):
            return None
        first, second = pieces[at], pieces[at + 1]
        longest = self._phrases.get((first, second), 1)
        joins = self._may_join(first, second)
        for count in range(min(max(longest, MOST_JOINED if joins else 1), len(pieces) - at), 1, -1):
            taken = pieces[at : at + count]
            text = " ".join(taken)
            if count <= longest and (row := self._words.get(text)) is not None:
                return [Part(text, row.meaning, row.value)], at + count
            if (listed := self._listed.get(text)) is not None:
                return [Part(text, "size", listed.designation, size=listed, how="name")], at + count
            if joins and count <= MOST_JOINED and (parts := self._joined(taken, text)) is not None:
                return parts, at + count
        return None

    def _may_join(self, first: str, second: str) -> bool:
        """Whether a name, or a wheel, can begin with two chunks."""
        name = first.removeprefix("#") + second
        if first in _SERIES_LETTERS:
            name = name.replace("-", "")
        return name in self._beginnings or first == "Z" or (second in self._hubs and first[-1].isalnum())

    def _joined(self, taken: list[str], text: str) -> list[Part] | None:
        if len(taken) == 3 and taken[1] in self._hubs and (named := self._name(taken[0])) is not None:
            rest = self._joined_on(named[0].size, taken[1] + taken[2])
            settled = rest is not None and any(part.meaning in ("hub", "form") for part in rest)
            if rest is not None and settled and named[0].strand_count == 0:
                return [*named, *rest]
        if taken[0] == "Z":
            return self._teeth("".join(taken))
        name = "".join(taken)
        if taken[0] in _SERIES_LETTERS:
            name = name.replace("-", "")
        elif any(left[-1].isdigit() and right[0].isdigit() for left, right in pairwise(taken)):
            return None
        found = self._names.get(name.removeprefix("#"))
        if found is None or self._attachment(taken[-1]):
            return None
        how: How = "doubtful" if taken[-1] in self._hubs and taken[0] in self._names else "name"
        return [Part(text, "size", found[0].designation, size=found[0], strand_count=found[1], how=how)]

    def _measure(self, pieces: list[str], at: int) -> tuple[list[Part], int] | None:
        """Figures with their unit, such as ``10FT``, ``12.7 X 7.75`` or ``1-1/4 IN``."""
        if not (pieces[at][0].isdigit() or pieces[at][0] in ".,"):
            return None
        if (told := _DIMENSION.fullmatch(pieces[at])) is not None:
            word = "pitch_word" if told[3] == "P" else "width_word"
            unit = "mm" if told[2] == "MM" else "in"
            return [Part(told[1] + told[2], "measure", unit, (figure(told[1]),)), Part(told[3], word, "-")], at + 1
        for count in (5, 3, 1):
            if (kind := dimensions("".join(pieces[at : at + count]))) is not None:
                return [Part(" ".join(pieces[at : at + count]), kind[0], "mm", kind[1])], at + count
        found = None if pieces[at] in self._words else MEASURE.fullmatch(pieces[at])
        if found is None:
            return None
        number, unit, end = found[1], found[2], at + 1
        whole = number.isdigit() and (int(number) <= MOST_WHOLE_INCHES or (at > 0 and pieces[at - 1] == "X"))
        if not unit and whole and end < len(pieces) and re.fullmatch(r"\d+/\d+", pieces[end]):
            number, end = f"{number}-{pieces[end]}", end + 1
        return self._with_unit(pieces, at, end, number, unit)

    def _with_unit(
        self, pieces: list[str], at: int, end: int, number: str, unit: str | None
    ) -> tuple[list[Part], int] | None:
        """A number with the unit joined to it or behind it; a bare whole number is no measure."""
        token = ""
        if unit:
            row = self._suffixes.get(unit) or self._words.get(unit)
            if row is None or row.meaning != "unit":
                return None
            token = row.value
        elif end < len(pieces) and (row := self._words.get(pieces[end])) is not None and row.meaning == "unit":
            token, end = row.value, end + 1
        elif number.isdigit():
            return None
        return [Part(" ".join(pieces[at:end]), "measure", token, (figure(number),))], end

    def _word(self, piece: str) -> list[Part] | None:
        row = self._words.get(piece)
        return None if row is None else [Part(piece, row.meaning, row.value)]

    def _word_of_chain(self, piece: str) -> list[Part] | None:
        """A word and chain in one, such as ``EDELSTAHLKETTE``."""
        found = _CHAIN_IN_ONE_WORD.fullmatch(piece)
        front = self._words.get(found[1]) if found is not None else None
        if found is None or front is None:
            return None
        return [Part(found[1], front.meaning, front.value), Part(found[2], "component", "chain")]

    def _name(self, piece: str) -> list[Part] | None:
        name = piece.removeprefix("#")
        found = self._names.get(name) or self._names.get(_LETTER_DASH.sub("", name, count=1))
        found = found or self._names.get(_STRANDS_BEHIND_STROKE.sub("-", name))
        if found is None:
            return None
        return [Part(piece, "size", found[0].designation, size=found[0], strand_count=found[1], how="name")]

    def _teeth(self, piece: str) -> list[Part] | None:
        found = _TEETH.fullmatch(piece)
        return None if found is None else [Part(piece, "measure", "teeth", (float(found[1]),))]

    def _attachment(self, piece: str) -> list[Part] | None:
        found = _ATTACHMENT.fullmatch(piece)
        if found is None or found[1] not in self._attachments:
            return None
        return [Part(piece, "attachment", found[1] + found[2])]

    def _compound(self, piece: str) -> list[Part] | None:
        """A name with something joined to it, the longest name that leaves nothing unread."""
        for end in range(min(len(piece) - 1, LONGEST_NAME), 0, -1):
            if (named := self._name(piece[:end])) is None or (piece[end - 1].isdigit() and piece[end].isdigit()):
                continue
            if (rest := self._joined_on(named[0].size, piece[end:])) is not None:
                return [*named, *rest]
        return None

    def _joined_on(self, size: ChainSize | None, rest: str) -> list[Part] | None:
        """What may be joined to a name: measures, tooth counts, letters of the trade; None where any part is not."""
        parts: list[Part] = []
        family = "" if size is None else size.row.family
        while rest := rest.lstrip("-/."):
            step = self._behind_wheel(rest) if parts and parts[0].meaning == "hub" else None
            if step is None and rest[0] == "X" and rest[1:2].isdigit():
                rest = rest[1:]
            if not parts and family == "conveyor":
                step = self._form_at(rest)
            elif not parts and family not in _WITHOUT_WHEEL:
                step = self._hub_at(rest)
            step = step or self._measured_at(rest) or self._letters_at(rest) or self._attachment_at(rest)
            if step is None or (step[0][0].text == "R" and family not in _RIVETED):
                return None
            parts += step[0]
            rest = rest[step[1] :]
        return parts

    def _form_at(self, rest: str) -> tuple[list[Part], int] | None:
        found = _FORM.match(rest)
        return None if found is None else ([Part(found[0], "form", f"{found[1]}-{found[2]}")], found.end())

    def _behind_wheel(self, rest: str) -> tuple[list[Part], int] | None:
        """Hardened teeth and the bore of a wheel, ``50BS15HX1``."""
        if rest == "H" or rest.startswith("HX"):
            return [Part("H", "bore_word", "-")], 1
        found = _BORE.fullmatch(rest)
        if found is None:
            return None
        return [Part("X", "bore_word", "-"), Part(found[1], "measure", "", (figure(found[1]),))], len(rest)

    def _hub_at(self, rest: str) -> tuple[list[Part], int] | None:
        found = _HUB.match(rest)
        if found is None or int(found[2]) < LEAST_TEETH:
            return None
        hub = Part(found[1], "hub", self._hubs[found[1]].value)
        return [hub, Part(found[2], "measure", "teeth", (float(found[2]),))], found.end()

    def _measured_at(self, rest: str) -> tuple[list[Part], int] | None:
        found = _MEASURED.match(rest)
        if found is None:
            return None
        for length in range(len(found[2]), 0, -1):
            row = self._suffixes.get(found[2][:length])
            if row is not None and row.meaning == "unit":
                end = found.end(1) + length
                return [Part(rest[:end], "measure", row.value, (figure(found[1]),))], end
        return None

    def _letters_at(self, rest: str) -> tuple[list[Part], int] | None:
        run = re.match(r"[A-Z]+(?:\d{3}(?!\d))?", rest)
        for end in range(run.end() if run else 0, 0, -1):
            row = self._suffixes.get(rest[:end])
            if row is not None and row.meaning != "unit":
                return [Part(rest[:end], row.meaning, row.value)], end
        return None

    def _attachment_at(self, rest: str) -> tuple[list[Part], int] | None:
        found = _ATTACHMENT.match(rest)
        if found is None or found[1] not in self._attachments:
            return None
        return [Part(found[0], "attachment", found[1] + found[2])], found.end()

    def _led(self, piece: str) -> list[Part] | None:
        """A name behind letters that say something of the chain: ``SS40``, ``C80``, ``D60B20``."""
        for letters, row in self._prefixes.items():
            rest = piece[len(letters) :].lstrip("-")
            if not piece.startswith(letters) or not rest[:1].isdigit():
                continue
            parts = self._name(rest) or self._compound(rest)
            if parts is None or parts[0].size is None:
                continue
            wheel = any(part.value == "teeth" for part in parts)
            inch = parts[0].size.row.standard.startswith("ASME B29.1") and parts[0].size.row.family == "roller"
            if wheel == (row.meaning in ("strand_count", "bore_word")) and inch:
                return [Part(letters, row.meaning, row.value), *parts]
        return None

    def _corrected(self, piece: str) -> list[Part] | None:
        """Letters O, I and L for the digits 0 and 1, where only the digits make a name."""
        plain_digits = piece.translate(_SLIPS)
        if plain_digits == piece or not any(sign.isdigit() for sign in piece):
            return None
        if piece.replace("-", "") in self._names:
            return None
        parts = self._name(plain_digits) or self._compound(plain_digits)
        return None if parts is None else [replace(parts[0], text=piece, how="corrected"), *parts[1:]]

    def _item_number(self, piece: str) -> list[Part] | None:
        return [Part(piece, "item_number")] if _ITEM_NUMBER.fullmatch(piece) else None

    def _pieces(self, piece: str) -> list[Part] | None:
        """Words and names joined by dashes or strokes, if every one is understood."""
        pieces = [part for part in re.split(r"[-/&=:]|(\+)", piece) if part]
        if not 2 <= len(pieces) <= MOST_PIECES:
            return None
        parts = self._read(pieces)
        if any(part.meaning in ("leftover", "prefix") for part in parts):
            return None
        choice = re.search(r"[/&+]", piece) is not None and sum(part.size is not None for part in parts) > 1
        return [replace(part, how="choice") if choice and part.size is not None else part for part in parts]

    def _prefixed(self, piece: str) -> list[Part] | None:
        """A name behind letters that say nothing here."""
        found = _PREFIXED.fullmatch(piece)
        if found is None or found[1] in self._series:
            return None
        parts = self._name(found[2]) or self._compound(found[2])
        return None if parts is None else [Part(found[1], "prefix"), replace(parts[0], how="prefixed"), *parts[1:]]


def _longest_from_two_words(phrases: Iterable[str]) -> dict[tuple[str, str], int]:
    """Words of the longest phrase that begins with two words."""
    longest: dict[tuple[str, str], int] = {}
    for phrase in phrases:
        words = phrase.split()
        if len(words) > 1:
            longest[words[0], words[1]] = max(longest.get((words[0], words[1]), 1), len(words))
    return longest


def _names(reference: Reference) -> Iterator[tuple[str, tuple[ChainSize, int]]]:
    """Every name of every size with and without strands; a name that could mean two sizes is not made."""
    plain_names = {
        fold(name): size
        for size in reference.chains.sizes
        for name in (size.designation, *(alias.alias for alias in size.aliases))
    }
    for name, size in plain_names.items():
        counted = size.row.family in ROLLER_FAMILIES
        for count in range(1, size.row.max_strand_count + 1) if counted else ():
            yield f"{name}-{count}", (size, count)
            # 40A1 is rather chain 40 with attachment A1, or a wheel, than chain 40A in one strand.
            if name[-1] in "ABC" and name[:-1] not in plain_names and f"{name}{count}" not in plain_names:
                yield f"{name}{count}", (size, count)
    for name, size in plain_names.items():
        yield name, (size, 0)
