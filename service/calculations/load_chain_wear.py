"""Wear of round-link load chain: length over links, the worst single link, diameter, findings; advisory only."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.elongation_check import CAUTIONS_LIFTING
from service.calculations.trace import Outcome, Trace
from service.calculations.wear_verdict import STEPS, headline
from service.core.elongation import between_lengths, from_length, links_outside_length
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.readings import implausible_elongation
from service.core.wear_limits import limit_used, loss, mean_diameter
from service.core.wear_status import LIFTING_GRAVITY, NOT_ASSESSABLE, Rung, governing, rung
from service.reference.records import Record

if TYPE_CHECKING:
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.wear import Finding

HoistDrive = Literal["hand", "power"]
Criterion = Literal["elongation_over_links", "elongation_against_unused", "single_link_elongation", "diameter_loss"]

RULE_LINKS = 11
"""Links that the general length rule is printed for (trade-load-chain-wear)."""

SHORTEST_MM, SHORTEST_PERCENT = 1.0, 0.2
"""How much shorter than nominal a sound reading can be, by error of reading and tolerance of links (project policy)."""

MOST_GAIN_PERCENT = 2.0
"""How much thicker than nominal a wire can read; beyond, it is the weld, a coating or dirt (project policy)."""

CROWN_TOLERANCE_PERCENT = 0.5
"""How near two crowns may lie to the measured excess before an outside length is suspected (project policy)."""


class LoadChainWearInput(Record, frozen=True, kw_only=True):
    """What was measured on one load chain, and what its hoist allows."""

    chain: ChainSize
    hoist_drive: HoistDrive | None
    link_count: int | None = None
    inside_length_mm: float | None = None
    outside_length_mm: float | None = None
    unused_outside_length_mm: float | None = None
    single_link_length_mm: float | None = None
    diameter_mm: float | None = None
    diameter_across_mm: float | None = None
    maker_limit_percent: float | None = None
    maker_limit_links: int | None = None
    maker_single_link_limit_percent: float | None = None
    maker_diameter_loss_percent: float | None = None
    findings: tuple[Finding, ...] = ()


class WearCriterion(Record, frozen=True, kw_only=True):
    """One measure against its limit; at the limit the chain is out."""

    criterion: Criterion
    measured_percent: float
    limit_percent: float
    origin: Literal["given", "table"]
    limit_used: float
    status: str


class LoadChainWearResult(Record, frozen=True, kw_only=True):
    """Every criterion that was measured, and the gravest."""

    pitch_mm: float
    wire_diameter_mm: float
    mean_diameter_mm: float | None
    criteria: tuple[WearCriterion, ...]
    status: str
    governed_by: str
    headline: str
    next_step: str


def load_chain_wear(
    given: LoadChainWearInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[LoadChainWearResult]:
    """Judge the wear of a round-link load chain.

    Raises:
        MoreNeeded: nothing was measured, a count is missing, or the rule depends on the drive of the hoist.
        Inconsistent: sling chain, a chain of another family, or a limit for another number of links.
        OutOfRange: no chain shows such an elongation.
    """
    trace = Trace(keep_steps=keep_steps)
    _check_family(given)
    judge = _Judge(given, reference, trace)
    criteria = tuple(one for one in (judge.links(), judge.unused(), judge.single_link(), judge.diameter()) if one)
    if not criteria and not given.findings:
        raise MoreNeeded(
            Issue("", "field_required", "Send a length over links, a single link, a diameter or a finding.")
        )
    # Of two criteria with one status the one that has used more of its limit governs.
    by_use = sorted(criteria, key=lambda one: one.limit_used, reverse=True)
    statuses: dict[str, str] = {one.criterion: one.status for one in by_use}
    for finding in given.findings:
        row = reference.wear.findings[finding]
        trace.row(row, f"finding {finding}")
        statuses[f"finding {finding}"] = row.lifting_status
    name, status = governing(statuses, LIFTING_GRAVITY)
    trace.caution(*CAUTIONS_LIFTING)
    worst = next((one for one in criteria if one.criterion == name), None)
    return Outcome(
        LoadChainWearResult(
            pitch_mm=judge.pitch_mm,
            wire_diameter_mm=judge.wire_mm,
            mean_diameter_mm=judge.mean_mm,
            criteria=criteria,
            status=status,
            governed_by=name.partition(" ")[0],
            headline=headline(
                status=status,
                elongation_percent=None if worst is None else worst.measured_percent,
                limit_percent=None if worst is None else worst.limit_percent,
                prefix="Finding" if worst is None else "",
            ),
            next_step=_next_step(name, status, reference),
        ),
        trace,
    )


def _next_step(name: str, status: str, reference: Reference) -> str:
    meanings = {f"finding {row.finding}": row.meaning for row in reference.wear.findings.values()}
    found = meanings.get(name, "").capitalize()
    if status == NOT_ASSESSABLE:
        if found:
            return f"{found}: measure it and have a competent person judge it."
        return "Count the links and measure again, at the crown and not on the weld; there is no verdict until then."
    step = _STEPS[status]
    return f"{found}. {step}" if found else step


_STEPS = {
    "within_entered_limits": STEPS["within_entered_limits"],
    "approaching_limit": "Have a competent person set a date for replacement.",
    "remove_from_service": "Take it out of service and replace the whole chain; have the load wheel checked.",
}


def _check_family(given: LoadChainWearInput) -> None:
    row = given.chain.row
    if row.series.startswith("sling"):
        raise Inconsistent(
            Issue(
                "chain",
                "rule_not_applicable",
                "This is sling chain: hoist rules do not hold for it, nor its tables for hoist chain.",
                None,
                row.designation,
                "Judge slings by their own standard and maker.",
            )
        )
    if row.family != "round_link":
        raise Inconsistent(
            Issue(
                "chain",
                "family_wrong_route",
                f"{row.designation} is no round-link chain: judge it by its pitches.",
                None,
                row.designation,
                "Send it to POST /v1/elongation-checks.",
            )
        )


class _Judge:
    """One request's measures, each against its limit."""

    def __init__(self, given: LoadChainWearInput, reference: Reference, trace: Trace) -> None:
        self.given = given
        self.reference = reference
        self.trace = trace
        self.pitch_mm = trace.figure(given.chain, "pitch")
        self.wire_mm = trace.figure(given.chain, "wire_diameter")
        self.mean_mm: float | None = None

    def links(self) -> WearCriterion | None:
        """Inside length over a number of links."""
        length_mm = self.given.inside_length_mm
        if length_mm is None:
            return None
        count = self._count("inside_length_mm")
        percent = self.trace.take(from_length, length_mm=length_mm, pitch_count=count, pitch_mm=self.pitch_mm)
        _refuse_implausible(percent, "inside_length_mm")
        limit, origin = self._link_limit(count)
        crowns = 200 * self.wire_mm / (count * self.pitch_mm)
        if -CROWN_TOLERANCE_PERCENT <= percent - crowns <= limit:
            outside_mm = self.trace.take(
                links_outside_length, pitch_mm=self.pitch_mm, wire_diameter_mm=self.wire_mm, link_count=count
            )
            self.trace.warn(
                "reference_suspect",
                f"{length_mm:g} mm fits the outside of {count} links, {outside_mm:g} mm when new: was it measured over "
                "the outside?",
                field="inside_length_mm",
            )
        short = self._shorter(percent, count * self.pitch_mm, "inside_length_mm")
        return self._judged("elongation_over_links", percent, limit, origin, doubted=short)

    def unused(self) -> WearCriterion | None:
        """Outside length against as many unused links."""
        used_mm, unused_mm = self.given.outside_length_mm, self.given.unused_outside_length_mm
        if used_mm is None:
            return None
        if unused_mm is None:
            count = self._count("outside_length_mm")
            unused_mm = self.trace.take(
                links_outside_length, pitch_mm=self.pitch_mm, wire_diameter_mm=self.wire_mm, link_count=count
            )
            self.trace.assume(
                "unused_outside_length", f"{unused_mm:g} mm", "derived", "nominal; better measure unused links"
            )
        percent = self.trace.take(between_lengths, used_length_mm=used_mm, unused_length_mm=unused_mm)
        _refuse_implausible(percent, "outside_length_mm")
        limit, origin = self._link_limit(self.given.link_count)
        short = self._shorter(percent, unused_mm, "outside_length_mm")
        return self._judged("elongation_against_unused", percent, limit, origin, doubted=short)

    def single_link(self) -> WearCriterion | None:
        """Inside length of the worst link."""
        length_mm = self.given.single_link_length_mm
        if length_mm is None:
            return None
        percent = self.trace.take(from_length, length_mm=length_mm, pitch_count=1, pitch_mm=self.pitch_mm)
        _refuse_implausible(percent, "single_link_length_mm")
        limit, origin = self._table_or_maker("single_link_elongation", self.given.maker_single_link_limit_percent)
        short = self._shorter(percent, self.pitch_mm, "single_link_length_mm")
        return self._judged("single_link_elongation", percent, limit, origin, doubted=short)

    def diameter(self) -> WearCriterion | None:
        """Loss of the mean of two diameters at one section."""
        first_mm, across_mm = self.given.diameter_mm, self.given.diameter_across_mm
        if first_mm is None:
            return None
        if across_mm is None:
            self.trace.warn(
                "two_readings_needed",
                "One diameter was sent: measure a second at right angles in the same section; the mean counts.",
                field="diameter_across_mm",
            )
            across_mm = first_mm
        self.mean_mm = self.trace.take(mean_diameter, diameter_mm=first_mm, diameter_across_mm=across_mm)
        percent = self.trace.take(loss, nominal_mm=self.wire_mm, measured_mm=self.mean_mm)
        if percent < 0:
            self.trace.warn(
                "diameter_suspect",
                f"{self.mean_mm:g} mm is more than the nominal {self.wire_mm:g} mm: on the weld, or over dirt?",
                field="diameter_mm",
            )
        limit, origin = self._table_or_maker("diameter_loss", self.given.maker_diameter_loss_percent)
        return self._judged("diameter_loss", percent, limit, origin, doubted=percent < -MOST_GAIN_PERCENT)

    def _shorter(self, percent: float, nominal_mm: float, field: str) -> bool:
        """Whether a length is shorter than a new chain can be, which is a slip of count, link or length; it is told."""
        if percent >= -100.0 * SHORTEST_MM / nominal_mm - SHORTEST_PERCENT:
            return False
        self.trace.warn(
            "shorter_than_nominal",
            f"The length reads {percent:+.2f} %, shorter than new by more than the reading error: count the links, and "
            "tell inside from outside.",
            field=field,
        )
        return True

    def _count(self, field: str) -> int:
        if self.given.link_count is None:
            raise MoreNeeded(
                Issue("link_count", "pitches_missing", f"The {field.removesuffix('_mm')} needs its number of links.")
            )
        return self.given.link_count

    def _link_limit(self, count: int | None) -> tuple[float, Literal["given", "table"]]:
        """The maker's limit, or the strictest printed rule that holds for this drive and count."""
        given = self.given
        maker = given.maker_limit_percent
        if maker is not None and given.maker_limit_links is not None and given.maker_limit_links != count:
            raise Inconsistent(
                Issue(
                    "maker_limit_links",
                    "link_count_mismatch",
                    f"The maker's limit is for {given.maker_limit_links} links; measured were {count or 'none named'}.",
                    given.maker_limit_links,
                    count,
                    "Measure over the number of links that the manual states.",
                )
            )
        if given.hoist_drive is None:
            if maker is not None:
                return maker, "given"
            raise MoreNeeded(
                Issue(
                    "hoist_drive",
                    "drive_kind_missing",
                    "Say whether the hoist is driven by hand or by power: the limit differs.",
                )
            )
        duty = "hand_hoist" if given.hoist_drive == "hand" else "powered_hoist"
        wear = self.reference.wear
        rows = [wear.limit("round_link", "elongation_against_unused", duty=duty)]
        if count == RULE_LINKS:
            rows.append(wear.limit("round_link", "elongation_over_11_links"))
        known = sorted((one for one in rows if one is not None), key=lambda one: one.percent)
        row = known[0]
        self.trace.row(row, "limit of elongation of load chain")
        if maker is None and known[-1].percent > row.percent:
            self.trace.warn(
                "sources_disagree",
                f"Two printed rules hold for {count} links: {row.percent:g} % ({row.source_id}) and"
                f" {known[-1].percent:g} % ({known[-1].source_id}); the stricter was used.",
                severity="info",
                field="maker_limit_percent",
            )
        return self._maker_or(maker, row.percent)

    def _table_or_maker(self, criterion: str, maker: float | None) -> tuple[float, Literal["given", "table"]]:
        row = self.reference.wear.limit("round_link", criterion)
        if row is None:
            raise ArithmeticError(f"wear_limits.csv: {criterion} of round_link is missing")
        self.trace.row(row, f"limit of {criterion.replace('_', ' ')}")
        return self._maker_or(maker, row.percent)

    def _maker_or(self, maker: float | None, printed: float) -> tuple[float, Literal["given", "table"]]:
        if maker is None:
            if all(warning.code != "maker_limit_missing" for warning in self.trace.warnings):
                self.trace.warn(
                    "maker_limit_missing",
                    "No limit from the manual of the hoist was sent; a general rule is used, which holds only where "
                    "the maker gives none.",
                    field="maker_limit_percent",
                )
            return printed, "table"
        if maker > printed:
            self.trace.warn(
                "limit_looser_than_published",
                f"The maker's limit of {maker:g} % is looser than the general rule of {printed:g} %: is it for this "
                "chain and this number of links?",
                field="maker_limit_percent",
            )
        return maker, "given"

    def _judged(
        self,
        criterion: Criterion,
        percent: float,
        limit: float,
        origin: Literal["given", "table"],
        *,
        doubted: bool,
    ) -> WearCriterion:
        used = self.trace.take(limit_used, elongation_percent=percent, limit_percent=limit)
        thresholds = self.reference.wear.thresholds
        near, out = thresholds["lifting_approaching"], thresholds["lifting_remove"]
        self.trace.row(near, "threshold lifting_approaching")
        ladder = (Rung("approaching_limit", near.value), Rung("remove_from_service", out.value))
        return WearCriterion(
            criterion=criterion,
            measured_percent=percent,
            limit_percent=limit,
            origin=origin,
            limit_used=used,
            status=NOT_ASSESSABLE if doubted else rung(limit_used=used, ladder=ladder, lowest="within_entered_limits"),
        )


def _refuse_implausible(percent: float, field: str) -> None:
    if (flag := implausible_elongation(elongation_percent=percent)) is not None:
        raise OutOfRange(Issue(field, flag.code, flag.message, dict(flag.numbers)["bound_percent"], percent))
