"""What drive calculations look up, laid ready once: rated chains, factors, lubrication limits, advice."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.drive_ratings import base_rating, unloaded_end_rpm
from service.calculations.drive_scores import TERMS, Weights
from service.calculations.pull_tables import PullTables
from service.calculations.trace import Used
from service.core.conversions import MM_PER_INCH
from service.core.errors import Issue, NotInReference
from service.core.mid_span import excess_from_movement
from service.core.roller_rating_newer import NEWER_PITCH_MAX_IN
from service.core.slack import sag_of_excess_mm
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_relations import WheelFigures
    from service.core.roller_rating import ChainClass
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.drive_proportions import ProportionRow, Rule
    from service.reference.elongation import ElongationLimitRow, ElongationRule
    from service.reference.figures import Figure
    from service.reference.loader import Row
    from service.reference.lubrication import SpeedLimitRow
    from service.reference.sags import Situation
    from service.reference.textbook_ratings import KilowattRatingRow

Edition = Literal["older", "newer"]
Lubrication = Literal["manual_or_drip", "bath_or_disc", "forced_stream"]
LUBRICATION_STEPS: dict[Lubrication, int] = {"manual_or_drip": 0, "bath_or_disc": 1, "forced_stream": 2}

_CLASSES: dict[str, ChainClass] = {"25": "bush", "35": "bush", "41": "lightweight"}
_NOT_FOR_DRIVES = frozenset({"leaf", "round_link", "hoist_roller", "flat_top", "welded_steel_drag", "cast_drag"})


class RatedChain(Record, frozen=True):
    """A chain with printed power ratings, its figures read out for inner loops."""

    size: ChainSize
    designation: str
    chain_class: ChainClass
    pitch_in: float
    pitch_mm: float
    max_strand_count: int
    mass_kg_m: float | None
    wheel_width_mm: float
    transverse_pitch_mm: float | None
    tensile_n: tuple[float | None, ...]
    limits: SpeedLimitRow | None
    used: tuple[Used, ...]
    tensile_used: tuple[tuple[Used, ...], ...]


class AdvisedSag(Record, frozen=True):
    """Sag of the slack strand as a share of its span, and the advice that it follows from."""

    share: float
    used: tuple[Used, ...]


class DriveTables:
    """Built once from the reference data."""

    def __init__(self, reference: Reference) -> None:
        self.reference = reference
        self.pull = PullTables(reference)
        self.strand_factors = {row.strand_count: row for row in reference.strand_factors.rows if row.scheme == "asme"}
        self.strand_factor_used = {
            count: (used_of(row, f"factor of {count} strands"),) if count > 1 else ()
            for count, row in self.strand_factors.items()
        }
        self.service_factors = {
            (row.scheme, row.driven_load, row.driver): row for row in reference.service_factors.rows
        }
        self._advice: dict[Rule, ProportionRow] = {}
        for advised in reference.proportions.rows:
            self._advice.setdefault(advised.rule, advised)
        weights = {row.term: row.weight for row in reference.drive_ranking.rows}
        self.weights = Weights(*(weights[term] for term in TERMS))
        general, large = self._elongation("general"), self._elongation("large_wheel")
        self.general_limit_percent = general.limit_percent or 0.0
        self.percent_times_teeth = large.percent_times_teeth or 0.0
        self.general_limit_used = (used_of(general, "limit of elongation"),)
        self.large_limit_used = (used_of(large, "limit of elongation on a large wheel"),)
        self.sag, self.sag_long = self._sag("ordinary"), self._sag("centres_over_one_metre")
        self.wheels: dict[tuple[float, int], WheelFigures] = {}
        self._unloaded_ends: dict[tuple[int, Edition], dict[str, float]] = {}
        rated_kw: dict[str, list[KilowattRatingRow]] = {}
        for printed in sorted(reference.kw_ratings.rows, key=lambda row: row.speed_rpm):
            rated_kw.setdefault(printed.designation, []).append(printed)
        self.kw_ratings = {designation: tuple(rows) for designation, rows in rated_kw.items()}
        self.ranking_used = tuple(used_of(row, "ranking of drives") for row in reference.drive_ranking.rows[:1])
        self.rated: dict[Edition, tuple[RatedChain, ...]] = {
            "older": self._rated("older"),
            "newer": self._rated("newer"),
        }
        self.bases = {
            edition: {chain.designation: base_rating(chain, edition) for chain in chains}
            for edition, chains in self.rated.items()
        }
        self._by_size: dict[Edition, dict[str, RatedChain]] = {
            edition: {chain.designation: chain for chain in chains} for edition, chains in self.rated.items()
        }

    def advice(self, rule: Rule) -> float:
        """The preferred figure of advice on teeth, ratio, wrap or centres."""
        return self._advice[rule].value

    def advice_used(self, rule: Rule) -> tuple[Used, ...]:
        """Its source."""
        return (used_of(self._advice[rule], rule.replace("_", " ")),)

    def unloaded_end_rpm(self, chain: RatedChain, teeth: int, edition: Edition) -> float:
        """Speed at which the ratings of an edition end for a chain that carries nothing, computed once."""
        return self.unloaded_ends_rpm(teeth, edition)[chain.designation]

    def unloaded_ends_rpm(self, teeth: int, edition: Edition) -> dict[str, float]:
        """The same for every rated chain by its designation."""
        known = self._unloaded_ends.get((teeth, edition))
        if known is None:
            known = {chain.designation: unloaded_end_rpm(chain, teeth, edition) for chain in self.rated[edition]}
            self._unloaded_ends[teeth, edition] = known
        return known

    def rated_chain(self, size: ChainSize, edition: Edition, field: str) -> RatedChain:
        """The rated chain of a size, by its own name or by that of the same size in the other standard.

        Raises:
            NotInReference: ``family_not_for_drive`` or ``rating_not_available``, with what is rated.
        """
        known = self._by_size[edition]
        for name in (size.designation, *self.reference.equivalents.same_size(size.designation)):
            if name in known:
                return known[name]
        if size.row.family in _NOT_FOR_DRIVES:
            words = size.row.family.replace("_", " ")
            issue = Issue(
                field,
                "family_not_for_drive",
                f"{size.designation} is {words} chain, which is not made to drive shafts.",
                None,
                size.designation,
                "Name a roller, silent or engineering-class drive chain.",
            )
        else:
            rated = ", ".join(known)
            issue = Issue(
                field,
                "rating_not_available",
                f"No power rating of {size.designation} is in the {edition} edition of the tables.",
                None,
                size.designation,
                f"Rated there: {rated}. By its pull: POST /v1/drive-checks with its allowable load in own_chain.",
            )
        raise NotInReference(issue)

    def _elongation(self, rule: ElongationRule) -> ElongationLimitRow:
        rows = self.reference.elongation_limits.where(family="roller", rule=rule)
        return rows[0]

    def _sag(self, situation: Situation) -> AdvisedSag:
        """The preferred advice in a situation, as a depth of sag; where it is of movement, of the strand that moves so.

        Movement and sag of a strand both follow from its excess length, here over a span of one.
        """
        row = self.reference.sags.advice((situation,))[0]
        share = (row.greatest_percent or 0.0) / 100.0
        if row.measure == "movement":
            share = sag_of_excess_mm(span_mm=1.0, excess_length_mm=excess_from_movement(span_mm=1.0, movement_mm=share))
        return AdvisedSag(share, (used_of(row, "advised slack"),))

    def _rated(self, edition: Edition) -> tuple[RatedChain, ...]:
        limits = {
            row.designation: row for row in self.reference.lubrication_speed_limits.rows if row.edition == edition
        }
        sizes = (
            size
            for size in self.reference.chains.sizes
            if size.row.family == "roller" and size.row.standard == "ASME B29.1" and size.designation.isdecimal()
        )
        chains = (_rated_chain(size, limits.get(size.designation)) for size in sizes)
        if edition == "newer":
            chains = (c for c in chains if c.pitch_in <= NEWER_PITCH_MAX_IN and c.chain_class != "lightweight")
        return tuple(sorted(chains, key=lambda chain: (chain.pitch_in, chain.designation != "41")))


def used_of(row: Row, used_for: str) -> Used:
    """A table row as a source that an answer rests on."""
    return Used(row.source_id, row.locator, row.confidence, used_for)


def _rated_chain(size: ChainSize, limits: SpeedLimitRow | None) -> RatedChain:
    pitch = size.figure("pitch")
    mass = size.find("mass_per_length")
    width = size.figure("inner_width")
    transverse = size.find("transverse_pitch")
    most = size.row.max_strand_count
    tensile = [size.find("minimum_tensile_strength", count) for count in range(1, most + 1)]
    used = [_figure_used(size, figure) for figure in (pitch, mass, transverse) if figure is not None]
    if limits is not None:
        used.append(used_of(limits, f"lubrication limits of {size.designation}"))
    return RatedChain(
        size=size,
        designation=size.designation,
        chain_class=_CLASSES.get(size.designation, "roller"),
        pitch_in=pitch.value / MM_PER_INCH,
        pitch_mm=pitch.value,
        max_strand_count=most,
        mass_kg_m=None if mass is None else mass.value,
        wheel_width_mm=width.value,
        transverse_pitch_mm=None if transverse is None else transverse.value,
        tensile_n=tuple(None if figure is None else figure.value for figure in tensile),
        limits=limits,
        used=tuple(used),
        tensile_used=tuple(() if figure is None else (_figure_used(size, figure),) for figure in tensile),
    )


def _figure_used(size: ChainSize, figure: Figure) -> Used:
    words = figure.quantity.replace("_", " ")
    return Used(figure.source_id, figure.locator, figure.confidence, f"{words} of {size.designation}")
