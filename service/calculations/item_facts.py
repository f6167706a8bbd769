"""What the parts of a description say beside the size: the part of the chain, its make, and its length."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from service.calculations.item_measures import LEAST_DECIMAL_MM
from service.core.conversions import MM_PER_FOOT, MM_PER_INCH
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.calculations.item_reading import Part

MM_OF_UNIT = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": MM_PER_INCH, "ft": MM_PER_FOOT}
LEAST_LENGTH_MM = 250.0
"""A shorter measure is a dimension of the chain or the wheel; the greatest pitch of the tables is 228.6 mm."""
_CHAIN = re.compile("CHAIN|CHN|KETTE|CHAINE|CADENA|CATENA|KETTING|CORRENTE|LANCUCH|KJEDE|KEDJA|RETEZ")
"""Phrases that name chain; ROLLER or PIN alone may belong to anything."""
_PARTS_OF_CHAIN = frozenset({
    "chain", "connecting_link", "offset_link", "offset_link_two_pitch", "roller_link", "pin_link", "sprocket",
})  # fmt: skip
_KINDS = frozenset({
    "double_pitch", "pintle", "detachable", "detachable_steel", "detachable_malleable", "rivetless", "offset_sidebar",
})  # fmt: skip
"""Kinds whose words are said of chain only."""


class Measures(Record, frozen=True):
    """Figures by what they measure, in millimetres where they are lengths."""

    pitch_mm: float | None = None
    loose_mm: float | None = None
    width_mm: float | None = None
    length_mm: float | None = None
    pitches: float | None = None
    links: float | None = None
    teeth: float | None = None


GENERAL_STAINLESS = "stainless_steel"
"""Says no more where a grade of it is named beside."""
NOT_MEASURED = Measures()


class Facts(Record, frozen=True):
    """What a description says beside the size."""

    component: str | None
    values: dict[str, tuple[str, ...]]
    measures: Measures
    spacing: int | None
    foreign: bool
    evidence: bool

    def of(self, meaning: str) -> tuple[str, ...]:
        """Every value said of a meaning, in order, once each."""
        return self.values.get(meaning, ())


def facts(parts: Sequence[Part]) -> Facts:
    """The facts in the parts of a description."""
    values: dict[str, tuple[str, ...]] = {}
    for part in parts:
        known = values.get(part.meaning)
        if known is None:
            values[part.meaning] = (part.value,)
        elif part.value not in known:
            values[part.meaning] = (*known, part.value)
    if len(materials := values.get("material", ())) > 1:
        values["material"] = tuple(said for said in materials if said != GENERAL_STAINLESS) or materials
    wheel = _is_wheel(parts)
    return Facts(
        component=_component(parts) if "component" in values else "sprocket" if wheel else None,
        values=values,
        measures=_measures(parts) if "measure" in values or "width_word" in values else NOT_MEASURED,
        spacing=_spacing(parts) if "spacing" in values else None,
        foreign="foreign" in values and _foreign(parts),
        evidence=(wheel and "hub" in values) or any(map(_speaks_of_chain, parts)),
    )


def _component(parts: Sequence[Part]) -> str | None:
    """The first part that is not the chain itself and does not come with it."""
    named, chain, general = None, None, None
    for at, part in enumerate(parts):
        if part.meaning != "component":
            continue
        numbered = at > 1 and parts[at - 1].text.isdigit()
        comes_with = at > 0 and parts[at - 1 - numbered].meaning == "with"
        if part.value == "chain":
            chain = chain or part.value
        elif part.value == "link":
            spaced = at > 0 and parts[at - 1].meaning in ("spacing", "ordinal")
            general = general or (None if spaced else part.value)
        elif not comes_with:
            named = named or part.value
    return named or general or ("sprocket" if _is_wheel(parts) else chain)


def _is_wheel(parts: Sequence[Part]) -> bool:
    return any(part.value == "teeth" for part in parts)


def _speaks_of_chain(part: Part) -> bool:
    """Whether a part shows that the item has to do with chain."""
    if part.meaning in ("component", "family"):
        return part.value in _PARTS_OF_CHAIN or _CHAIN.search(part.text) is not None or part.value in _KINDS
    return part.meaning in ("standard", "attachment") or (part.size is not None and part.text.startswith("#"))


def _foreign(parts: Sequence[Part]) -> bool:
    """Whether the item is something else: a word says so, and chain is at most what it is for."""
    others = [part for part in parts if part.meaning == "foreign"]
    if not others:
        return False
    for part in parts:
        if part.meaning == "for":
            break
        if _speaks_of_chain(part) and part.meaning in ("component", "family"):
            return False
    return True


def _spacing(parts: Sequence[Part]) -> int | None:
    for at, part in enumerate(parts[:-1]):
        following = parts[at + 1]
        if part.meaning == "spacing":
            return int(following.value) if following.meaning == "ordinal" else 1
    return None


_WORDS_OF_MEASURE = {"pitch_word": "pitch_mm", "width_word": "width_mm", "bore_word": "bore"}


def _measures(parts: Sequence[Part]) -> Measures:
    found: dict[str, float] = {}
    spoken_for: set[int] = set()
    for at, part in enumerate(parts):
        if (name := _WORDS_OF_MEASURE.get(part.meaning)) is None:
            continue
        for beside in (at - 1, at + 1):
            length = _short(parts, beside, bare=name == "width_mm")
            if length is not None and beside not in spoken_for:
                spoken_for.add(beside)
                found.setdefault(name, length)
                break
    found.pop("bore", None)
    for at, part in enumerate(parts):
        if part.meaning == "measure" and at not in spoken_for:
            if part.value in ("pitches", "links", "teeth"):
                found.setdefault(part.value, part.numbers[0])
                continue
            length = _length_mm(part)
            found.setdefault("length_mm" if length >= LEAST_LENGTH_MM else "loose_mm", length)
    return Measures(**found)


def _short(parts: Sequence[Part], at: int, *, bare: bool) -> float | None:
    """A dimension at a place; a bare whole number of inches too, where the word asks for one."""
    if not 0 <= at < len(parts):
        return None
    part = parts[at]
    if bare and part.meaning == "leftover" and part.text.isdigit() and len(part.text) <= 2:
        return int(part.text) * MM_PER_INCH
    if part.meaning != "measure" or part.value in ("pitches", "links", "teeth"):
        return None
    length = _length_mm(part)
    return length if length < LEAST_LENGTH_MM else None


def _length_mm(part: Part) -> float:
    value = part.numbers[0]
    if part.value:
        return value * MM_OF_UNIT[part.value]
    return value * MM_PER_INCH if "/" in part.text or value < LEAST_DECIMAL_MM else value
