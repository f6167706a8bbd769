"""Rows of an inspection sheet: each item checked as by its own path, or left to be filled in by hand."""

from collections.abc import Callable
from typing import Annotated, Any, Literal, NamedTuple

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api import elongation_checks, load_chain_wear_checks
from service.api.answers import CalculationRequest, Context
from service.api.batches import each_item
from service.api.elongation_checks import ElongationCheckAnswer, ElongationCheckRequest
from service.api.load_chain_wear_checks import LoadChainWearAnswer, LoadChainWearRequest
from service.api.problems import Problem
from service.calculations.wear_limit import is_lifting
from service.reference.wear import Finding

RowState = Literal["measured", "refused", "not_measured", "blank"]
RowKind = Literal["chain", "load_chain", "blank"]


class SheetFinding(msgspec.Struct, frozen=True, kw_only=True):
    """A finding in words, and the least status that it calls for."""

    finding: Finding
    meaning: str
    least_status: str


class SheetRow(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One row: an answer, a problem, an item that was not measured, or an empty row."""

    number: int
    kind: RowKind
    state: RowState
    client_ref: str | UnsetType = UNSET
    chain: Annotated[str, Meta(description="Designation as sent, or the name of the caller's own chain.")] | (
        UnsetType
    ) = UNSET
    findings: list[SheetFinding] = []
    check: Annotated[ElongationCheckAnswer, Meta(description="As `POST /v1/elongation-checks` answers it.")] | (
        UnsetType
    ) = UNSET
    load_chain_check: (
        Annotated[LoadChainWearAnswer, Meta(description="As `POST /v1/load-chain-wear-checks` answers it.")] | UnsetType
    ) = UNSET
    problem: Problem | UnsetType = UNSET


class _Kind(NamedTuple):
    """One kind of item: its request, the fields that measure, where its own figures stand, and its check."""

    kind: RowKind
    place: str
    item: tuple[type[CalculationRequest], msgspec.json.Decoder[Any]]
    measures: tuple[str, ...]
    own: str
    answer_field: str
    check: Callable[[Any, Context], msgspec.Struct]


CHAINS = _Kind(
    "chain",
    "chain_items",
    (ElongationCheckRequest, msgspec.json.Decoder(ElongationCheckRequest)),
    ("length", "inner_length", "outer_length", "takeup_travel", "elongation_percent", "gauge_result"),
    "own_chain",
    "check",
    elongation_checks.answer,
)
LOAD_CHAINS = _Kind(
    "load_chain",
    "load_chain_items",
    (LoadChainWearRequest, msgspec.json.Decoder(LoadChainWearRequest)),
    ("inside_length", "outside_length", "single_link_length", "diameter", "diameter_across", "findings"),
    "own_link",
    "load_chain_check",
    load_chain_wear_checks.answer,
)


def rows_of(items: list[msgspec.Raw] | UnsetType, kind: _Kind, context: Context) -> list[SheetRow]:
    """A row for each item, in order; numbers are given by the sheet."""
    if isinstance(items, UnsetType):
        return []

    def answer(request: Any) -> dict[str, Any]:  # noqa: ANN401 a request of the kind
        chain = _name(request, kind)
        said = {"chain": chain or UNSET, "findings": _findings(request, chain, kind, context)}
        if all(isinstance(getattr(request, field), UnsetType) for field in kind.measures):
            return {"state": "not_measured", **said}
        return {"state": "measured", kind.answer_field: kind.check(request, context), **said}

    rows = []
    for one in each_item(items, kind.item, answer, kind.place):
        said = {"state": "refused", "problem": one.problem} if isinstance(one.answer, UnsetType) else one.answer
        rows.append(SheetRow(number=one.place + 1, kind=kind.kind, client_ref=one.client_ref, **said))
    return rows


def _name(request: Any, kind: _Kind) -> str:  # noqa: ANN401 a request of the kind
    if not isinstance(request.chain, UnsetType):
        return str(request.chain)
    own = getattr(request, kind.own)
    return "" if isinstance(own, UnsetType) else str(own.name)


def _findings(request: Any, chain: str, kind: _Kind, context: Context) -> list[SheetFinding]:  # noqa: ANN401 as above
    if isinstance(request.findings, UnsetType):
        return []
    size = context.reference.chains.find(chain) if chain else None
    lifting = kind.kind == "load_chain" or (size is not None and is_lifting(size.row.family))
    rows = [context.reference.wear.findings[finding] for finding in dict.fromkeys(request.findings)]
    return [
        SheetFinding(
            finding=row.finding, meaning=row.meaning, least_status=row.lifting_status if lifting else row.drive_status
        )
        for row in rows
    ]
