"""Chains that the caller names, and a limiter that the caller has: what is refused or asked, and what is only told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.conveyor_candidates import Candidate, Rejection
from service.calculations.conveyor_stock import PURPOSE_OF
from service.core.conveyor_capacity import pitches_between_attachments
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.calculations.conveyor_candidates import ChainSearch
    from service.calculations.conveyor_input import ConveyorSizingInput
    from service.calculations.conveyor_option import ConveyorRelations
    from service.calculations.conveyor_stock import StockChain
    from service.calculations.trace import Trace


def check_named(chains: tuple[StockChain, ...], given: ConveyorSizingInput, trace: Trace) -> None:
    """Ask, refuse and warn of what the named chains make plain.

    Raises:
        Inconsistent: ``spacing_invalid``; the spacing of attachments or rollers fits no pitch of the one chain named.
        MoreNeeded: ``direction_missing``; every chain named has a narrow and a wide end.
    """
    purpose = PURPOSE_OF[given.load.carried]
    for chain in chains:
        if not chain.runs_on(given.head_wheel.kind):
            _warn_of_wheel(chain, given, trace)
        if chain.grades.get(purpose) == 0:
            trace.warn(
                "family_unfit",
                f"Chain of the family of {chain.designation} is graded unfit to {purpose.replace('_', ' ')}; "
                "GET /v1/families says why.",
                field="choice.chains",
            )
    if all(chain.offset_links for chain in chains) and given.chains.running_direction is None:
        message = (
            f"{chains[0].designation} has links with a narrow and a wide end (or a hook): say which runs forward,"
            " since it decides how the wheels wear and how the chain is ordered."
        )
        hint = "Send chains.running_direction: narrow_end_forward or wide_end_forward."
        raise MoreNeeded(Issue("chains.running_direction", "direction_missing", message, None, None, hint))
    if len(chains) == 1 and given.attached is not None and chains[0].pitches_mm:
        _check_spacing(chains[0], 1000.0 * given.attached.spacing_m, "attached.spacing_m")
    if len(chains) == 1 and given.chains.roller_spacing_mm is not None:
        _check_spacing(chains[0], given.chains.roller_spacing_mm, "chains.roller_spacing_mm")


def driven(chains: tuple[StockChain, ...], given: ConveyorSizingInput, search: ChainSearch) -> Iterator[StockChain]:
    """The named chains that the head wheel drives; the others are noted as rejected, since their pull is no pull."""
    for chain in chains:
        if chain.runs_on(given.head_wheel.kind):
            yield chain
        else:
            search.rejections.append(Rejection(chain, "wheel_unsuitable"))


def _check_spacing(chain: StockChain, spacing_mm: float, field: str) -> None:
    refused: Inconsistent | None = None
    for pitch in chain.pitches_mm:
        try:
            pitches_between_attachments(spacing_mm=spacing_mm, pitch_mm=pitch)
        except Inconsistent as error:
            refused = error
        else:
            return
    if refused is not None:
        issue = refused.issues[0]
        text = (
            issue.message
            if len(chain.pitches_mm) == 1
            else f"No pitch of {chain.designation} divides {spacing_mm:g} mm."
        )
        raise Inconsistent(Issue(field, issue.code, text, None, spacing_mm, issue.hint))


def _warn_of_wheel(chain: StockChain, given: ConveyorSizingInput, trace: Trace) -> None:
    kind = given.head_wheel.kind
    wanted = "a pocket or a traction wheel" if chain.size.row.family == "round_link" else "a wheel made for it"
    trace.warn(
        "wheel_type_suspect",
        f"{chain.designation} does not run on a {kind} wheel; it needs {wanted}.",
        field="head_wheel.kind",
    )


def check_setting_of_all(
    candidates: list[Candidate], relations: ConveyorRelations, search: ChainSearch
) -> list[Candidate]:
    """The chains in whose window the limiter of the caller lies.

    Raises:
        OutOfRange: ``limiter_too_low`` or ``limiter_ineffective`` where that leaves none.
    """
    if relations.setting_n_m is None or not candidates:
        return candidates
    within: list[Candidate] = []
    first: Issue | None = None
    for candidate in candidates:
        issue = relations.setting_issue(candidate)
        if issue is None:
            within.append(candidate)
            continue
        first = first or issue
        reason = Rejection(
            candidate.chain,
            "limiter_outside_window",
            relations.setting_n_m,
            issue.limit or 0.0,
            candidate.chain_mass_kg_m,
        )
        search.rejections.append(reason)
    if not within and first is not None:
        pin = relations.given.limiter is not None and relations.given.limiter.pin is not None
        field = "limiter.pin" if pin else "limiter.setting_n_m"
        raise OutOfRange(Issue(field, first.code, first.message, first.limit, relations.setting_n_m, first.hint))
    return within
