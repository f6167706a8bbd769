"""The chains that a conveyor may be given, with the figures that decide, read from the tables once."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Literal, get_args

from service.calculations.conveyor_input import WheelKind
from service.calculations.trace import Used
from service.reference.chains import OWN, ROLLER_FAMILIES
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.conveyor_input import Carried
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.conveyor_factors import RankingTerm
    from service.reference.factors import Factors
    from service.reference.figures import Figure
    from service.reference.strength_rules import StrengthFractionRow

Purpose = Literal["convey", "drag", "elevate", "overhead_trolley"]

Unsuited = Literal["wheel_unsuitable", "unfit_for_purpose", "strength_not_known"]

PURPOSE_OF: dict[Carried, Purpose] = {
    "on_chain": "convey",
    "in_trough": "drag",
    "pushed": "drag",
    "in_buckets": "elevate",
    "on_trolleys": "overhead_trolley",
}
"""Criterion of ``families.toml`` by which a family is graded for a way of carrying."""

OFFSET_FAMILIES = {
    "steel_pintle",
    "cast_pintle",
    "cast_mill",
    "cast_drag",
    "welded_steel_mill",
    "welded_steel_drag",
    "detachable",
}
"""Families whose links have a narrow and a wide end, or a hook; see ``family_statements``."""
OFFSET_SERIES = {"offset_sidebar"}

NOT_ON_TEETH = {"round_link", "leaf"}
"""Families that no toothed wheel drives: one needs pockets, the other runs on a plain sheave."""


class StockChain(Record, frozen=True, eq=False):
    """A chain with what a conveyor asks of it; None is a hole of the tables.

    Attributes:
        recalled: Whether a strength that decides was recalled and not read in print.
    """

    size: ChainSize
    family: str | None
    pitches_mm: tuple[float, ...]
    mass_kg_m: float | None
    tensile: Figure | None
    working: Figure | None
    dynamic: Figure | None
    joint_area_mm2: float | None
    roller_bore_mm2: float | None
    peak_rule: StrengthFractionRow | None
    grades: dict[Purpose, int]
    offset_links: bool
    recalled: bool

    @property
    def designation(self) -> str:
        """Canonical designation."""
        return self.size.designation

    def runs_on(self, kind: WheelKind) -> bool:
        """Whether a kind of wheel can drive it."""
        family = self.size.row.family
        if kind == "pocket":
            return family == "round_link"
        return kind != "toothed" or family not in NOT_ON_TEETH

    def unsuited(self, purpose: Purpose, kind: WheelKind) -> Unsuited | None:
        """Why a search leaves the chain out whatever it has to bear."""
        if not self.runs_on(kind):
            return "wheel_unsuitable"
        if self.grades.get(purpose, 1) == 0:
            return "unfit_for_purpose"
        return "strength_not_known" if self.tensile is None and self.working is None else None


class Suited(Record, frozen=True):
    """Chains that may be asked, and how many are not and why."""

    chains: tuple[StockChain, ...]
    left_out: dict[Unsuited, int]


class ConveyorStock:
    """All chains of the tables, and a chain of the caller's own in the same form."""

    def __init__(self, reference: Reference) -> None:
        self._reference = reference
        self._grades: dict[str, dict[Purpose, int]] = {}
        self.factors: Factors = reference.factors
        self.weights: dict[RankingTerm, float] = {row.term: row.weight for row in self.factors.conveyor.ranking.rows}
        first = self.factors.conveyor.ranking.rows[0]
        self.ranking_used = (Used(first.source_id, first.locator, first.confidence, "weights of the ranking"),)
        self.chains = tuple(self.of(size) for size in reference.chains.sizes)
        self._suited = {
            (purpose, kind): self._suit(purpose, kind) for purpose in get_args(Purpose) for kind in get_args(WheelKind)
        }
        self._by_designation = {chain.designation: chain for chain in self.chains}

    def suited(self, purpose: Purpose, kind: WheelKind) -> Suited:
        """Chains of a known strength that are not unfit for a purpose and a kind of wheel, and why the others are."""
        return self._suited[purpose, kind]

    def _suit(self, purpose: Purpose, kind: WheelKind) -> Suited:
        left_out: Counter[Unsuited] = Counter()
        chains = []
        for chain in self.chains:
            reason = chain.unsuited(purpose, kind)
            if reason is None:
                chains.append(chain)
            else:
                left_out[reason] += 1
        return Suited(tuple(chains), dict(left_out))

    def named(self, size: ChainSize) -> StockChain:
        """The chain of a size, of the tables or of the caller."""
        known = self._by_designation.get(size.designation)
        return known if known is not None and known.size is size else self.of(size)

    def of(self, size: ChainSize) -> StockChain:
        """A size with the figures that decide."""
        own = size.row.source_id == OWN
        family = None if own else self._reference.families.of_size(size.row)
        grades = {} if family is None else self._grades_of(family.id)
        tensile = size.find("minimum_tensile_strength") or size.find("breaking_force")
        working = size.find("allowable_load")
        return StockChain(
            size=size,
            family=None if family is None else family.id,
            pitches_mm=self._pitches(size),
            mass_kg_m=_value(size, "mass_per_length"),
            tensile=tensile,
            working=working,
            recalled=any(figure is not None and figure.confidence == "memory" for figure in (tensile, working)),
            dynamic=size.find("minimum_dynamic_strength"),
            joint_area_mm2=_joint_area(size),
            roller_bore_mm2=_roller_bore(size),
            peak_rule=None if own else self._peak_rule(size),
            grades=grades,
            offset_links=size.row.family in OFFSET_FAMILIES or size.row.series in OFFSET_SERIES,
        )

    def _grades_of(self, family: str) -> dict[Purpose, int]:
        """How a family is graded for each purpose."""
        if family not in self._grades:
            rate = self._reference.families.rating
            self._grades[family] = {purpose: rate(family, purpose).rating for purpose in get_args(Purpose)}
        return self._grades[family]

    def _pitches(self, size: ChainSize) -> tuple[float, ...]:
        pitch = _value(size, "pitch")
        return self._reference.engineering.pitches_mm(size.designation) if pitch is None else (pitch,)

    def _peak_rule(self, size: ChainSize) -> StrengthFractionRow | None:
        """Printed share of tensile strength that a single peak may reach."""
        fractions = self.factors.strength.fractions
        if size.row.family in ROLLER_FAMILIES:
            return fractions.where(family="roller", quantity="peak_over_ultimate_max")[0]
        if size.row.family == "conveyor":
            return fractions.where(family="conveyor", quantity="yield_over_ultimate")[0]
        return None


def _value(size: ChainSize, quantity: str) -> float | None:
    figure = size.find(quantity)
    return None if figure is None else figure.value


def _joint_area(size: ChainSize) -> float | None:
    area, pin, length = (_value(size, name) for name in ("bearing_area", "pin_diameter", "bearing_length"))
    if area is not None:
        return area
    return None if pin is None or length is None else pin * length


def _roller_bore(size: ChainSize) -> float | None:
    """Projected area of the bore of a roller: bush diameter times inner width, which the roller nearly fills."""
    bush, width = _value(size, "bush_diameter"), _value(size, "inner_width")
    return None if bush is None or width is None else bush * width
