"""What a match says in fixed words: the normal form of a description, the key of duplicates, the number explained."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from service.core.conversions import MM_PER_FOOT
from service.core.errors import NotInReference
from service.core.leaf_numbering import read as read_leaf_number
from service.reference.chains import ROLLER_FAMILIES

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from service.calculations.designation_matching import DesignationMatch
    from service.reference.chains import ChainSize
    from service.reference.item_words import ItemWords

_SAID = ("variant", "material", "finish", "joint")


def name_of(size: ChainSize, strand_count: int) -> str:
    """Designation with its strands, where strands are counted."""
    return f"{size.designation}-{strand_count}" if size.row.family in ROLLER_FAMILIES else size.designation


def normal_text(match: DesignationMatch, words: ItemWords) -> str | None:
    """The description in fixed words and order, without what was left over; read again it gives itself."""
    if match.size is None:
        return None
    said = match.facts
    pieces = [
        words.normal("component", said.component or "chain"),
        "-".join((name_of(match.size, match.strand_count).upper(), *said.of("form"))),
    ]
    # C60 alone may be roller chain 60 with straight plates.
    pieces += ["COMBINATION"] if match.size.row.family == "combination" else []
    pieces += [words.normal(meaning, value) for meaning in _SAID for value in said.of(meaning)]
    pieces += [code for code in said.of("attachment") if code != "-"]
    if said.spacing is not None:
        pieces.append(f"EVERY {words.normal('ordinal', str(said.spacing))}")
    pieces += [words.normal("hub", value) for value in said.of("hub")]
    pieces += _measured(match)
    return " ".join(pieces)


def _measured(match: DesignationMatch) -> Iterator[str]:
    measures = match.facts.measures
    for value, unit in ((measures.teeth, "TEETH"), (measures.pitches, "PITCHES"), (measures.links, "LINKS")):
        if value is not None:
            yield f"{value:.12g} {unit}"
    if measures.length_mm is not None:
        feet = measures.length_mm / MM_PER_FOOT
        whole = abs(feet - round(feet)) < 1e-9
        yield f"{round(feet)} FT" if whole else f"{measures.length_mm / 1000:.12g} M"


def duplicate_key(match: DesignationMatch, group: Callable[[ChainSize], str]) -> str | None:
    """Equal for items that are the same but for their length and packing; equal sizes of two standards count as one."""
    if match.size is None:
        return None
    said = match.facts
    name = group(match.size)
    pieces = ["-".join((name, str(match.strand_count), *said.of("form"))), said.component or "chain"]
    pieces += sorted(value for meaning in (*_SAID, "attachment", "hub") for value in said.of(meaning) if value != "-")
    if said.spacing is not None:
        pieces.append(f"every_{said.spacing}")
    if said.measures.teeth is not None:
        pieces.append(f"{said.measures.teeth:.12g}_teeth")
    return "/".join(pieces)


def in_words(size: ChainSize, strand_count: int) -> tuple[str, ...]:
    """The parts of a designation one by one, as the numbering of its standard means them."""
    described = tuple(_numbering(size))
    strands = (f"{strand_count} strand{'s' if strand_count > 1 else ''}",) if size.row.family in ROLLER_FAMILIES else ()
    return (f"{size.row.standard}, {size.row.series.replace('_', ' ')}", *described, *strands)


def _numbering(size: ChainSize) -> Iterator[str]:
    name, family = size.designation, size.row.family
    if family == "roller" and size.row.standard.startswith("ASME"):
        number = int(re.sub(r"\D", "", name))
        yield f"{number // 10}: pitch {number // 10}/8 in"
        yield f"{number % 10}: {_LAST_DIGIT.get(number % 10, 'proportions by the table')}"
    elif family == "roller" and name[:2].isdigit() and not name.isdigit():
        yield f"{name[:2]}: pitch {int(name[:2])}/16 in"
        yield f"{name[2]}: {_SERIES_LETTER.get(name[2], 'series by the table')}"
    elif family == "double_pitch_roller" and (found := re.fullmatch(r"(C?)2(\d+)([ABHL]*)", name)):
        yield from (("C: straight plates for conveyors",) if found[1] else ())
        yield f"2: twice the pitch of {found[2]}{found[3][:1] if found[3][:1] in ('A', 'B') else ''}"
    elif family == "leaf":
        yield from _lacing(name)
    if name.endswith(("H", "HL")) and family in ROLLER_FAMILIES:
        yield "H: heavy series, thicker plates"


def _lacing(name: str) -> Iterator[str]:
    try:
        number = read_leaf_number(number=name)
    except NotInReference:
        return
    yield f"{number.series}: series; pitch {number.pitch_in:g} in"
    plates = f"{number.pin_link_plates} x {number.articulating_plates}"
    yield f"lacing {plates}: plates in the pin link and in the articulating link"


_LAST_DIGIT = {0: "usual proportions", 1: "lightweight, narrow", 5: "no rollers: the bush meets the tooth"}
_SERIES_LETTER = {"A": "series of American origin", "B": "series of European origin", "C": "no rollers"}
