"""Words for a series or form settled against the size: heavy, double pitch, conveyor form, large roller."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from service.calculations.item_candidates import Settled, between
from service.reference.chain_notes import ChainNote
from service.reference.records import replace

if TYPE_CHECKING:
    from service.calculations.item_facts import Facts
    from service.reference.catalogue import Reference
    from service.reference.chains import Chains, ChainSize
    from service.reference.equivalents import Equivalents, Relation


class SeriesWords:
    """Holds words for series against the relations of sizes."""

    def __init__(self, reference: Reference) -> None:
        self._chains: Chains = reference.chains
        self._equivalents: Equivalents = reference.equivalents
        self._groups: dict[str, str] = {}
        self._related: dict[tuple[str, Relation], list[ChainSize]] = {}
        self._steps = (self._one_letter, self._heavy, self._double_pitch, self._conveyor, self._roller)

    def group(self, size: ChainSize) -> str:
        """One name for a size and its equals in other standards."""
        name = size.designation
        if (found := self._groups.get(name)) is None:
            found = self._groups[name] = min((name, *self._equivalents.same_size(name)))
        return found

    def settle(self, settled: Settled, said: Facts) -> Settled:
        """The size that the words of series mean, or what stands between."""
        for step in self._steps:
            if settled.size is None:
                break
            settled = step(settled.size, settled, said)
        return settled

    def _one_letter(self, size: ChainSize, settled: Settled, said: Facts) -> Settled:
        """C60 is a combination chain, and roller chain 60 with straight plates; H60B24 is a wheel for H60 or for 60."""
        plain = re.fullmatch(r"([CH])(\d+)", size.designation) if size.designation[0] in "CH" else None
        other = self._chains.find(plain[2]) if plain is not None else None
        if plain is None or other is None or other.row.family != "roller":
            return settled
        told = "combination" in said.of("family") if plain[1] == "C" else not said.of("hub")
        return settled if told else between([size, other])

    def _heavy(self, size: ChainSize, settled: Settled, said: Facts) -> Settled:
        if not (said.of("series") or said.of("series_doubt")) or self._is(size, "heavy_series_of"):
            return settled
        heavy = self._of(size, "heavy_series_of")
        if said.of("series"):
            if heavy:
                return replace(settled, size=heavy[0])
            message = f"The tables hold no heavy series of {size.designation}."
            return Settled(candidates=(size.designation,), notes=(ChainNote("suffix_unknown", message),))
        return between([size, *heavy]) if heavy else replace(settled, probable=True)

    def _double_pitch(self, size: ChainSize, settled: Settled, said: Facts) -> Settled:
        hints = said.of("family")
        double = size.row.family == "double_pitch_roller"
        if "double_pitch" in hints and not double:
            doubled = self._of(size, "double_pitch_of")
            return between([*doubled, *(form for twin in doubled for form in self._of(twin, "conveyor_form_of"))])
        return between([size]) if "single_pitch" in hints and double else settled

    def _conveyor(self, size: ChainSize, settled: Settled, said: Facts) -> Settled:
        """Conveyor chain by the number of the drive chain: which of the two forms is not said."""
        forms = self._of(size, "conveyor_form_of") if "conveyor" in said.of("family") else []
        return between([size, *forms]) if forms else settled

    def _roller(self, size: ChainSize, settled: Settled, said: Facts) -> Settled:
        variants = said.of("variant")
        if not variants:
            return settled
        large = self._of(size, "large_roller_of")
        if "large_roller" in variants and large:
            return between([size, *large])
        return between([size]) if "small_roller" in variants and self._is(size, "large_roller_of") else settled

    def _of(self, size: ChainSize, relation: Relation) -> list[ChainSize]:
        """Sizes that stand in a relation to a size."""
        key = size.designation, relation
        if (found := self._related.get(key)) is None:
            rows = self._equivalents.of(size.designation)
            found = self._related[key] = [
                self._chains.get(row.designation)
                for row in rows
                if row.relation == relation and row.other == size.designation
            ]
        return found

    def _is(self, size: ChainSize, relation: Relation) -> bool:
        rows = self._equivalents.of(size.designation)
        return any(row.relation == relation and row.designation == size.designation for row in rows)
