"""Many requests in one body: each is read and answered for itself, so that one bad item spoils no other.

The items stay raw bytes until their turn comes; each is then decoded as if it had come alone. Answers keep the order
of the items, echo the caller's references and carry a problem document where a request alone would have got one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Annotated, Any, Generic, Literal, NamedTuple, TypedDict, TypeVar, cast

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import AnswerWarning, CalculationRequest
from service.api.body import JsonBody, decode, json_body
from service.api.problems import Problem, Refusal, problem, refuse_engineering
from service.api.quantities import Length
from service.core.errors import EngineeringError, Inconsistent, Issue, MoreNeeded

MOST_ITEMS = 1000

MOST_BATCH_BYTES = 8 * 1_048_576
"""Largest body of a batch: a thousand histories of fifty readings with room to spare."""

LengthUnit = Literal["mm", "cm", "m", "in", "ft"]
BatchLengthUnit = Annotated[
    LengthUnit, Meta(description="Unit of every `length_value`; an item that differs sends its own `length`.")
]

RequestType = TypeVar("RequestType", bound=CalculationRequest)
AnswerType = TypeVar("AnswerType")
ItemType = TypeVar("ItemType")


class BatchItem(msgspec.Struct, Generic[AnswerType], frozen=True, kw_only=True, omit_defaults=True):
    """Answer or problem of one item; exactly one of the two."""

    index: Annotated[int, Meta(description="Place in the request, from zero.")]
    client_ref: str | UnsetType = UNSET
    answer: AnswerType | UnsetType = UNSET
    problem: Problem | UnsetType = UNSET


class BatchCounts(msgspec.Struct, frozen=True, kw_only=True):
    """How many items were answered and how many refused."""

    answered: int
    refused: int


class BatchAnswer(msgspec.Struct, Generic[ItemType], frozen=True, kw_only=True):
    """Answers in the order of the request."""

    items: list[ItemType]
    counts: BatchCounts
    verdicts: Annotated[dict[str, int], Meta(description="How many items got each status or lifting status.")]
    warnings: list[AnswerWarning]


class _RawItems(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    items: Annotated[list[msgspec.Raw], Meta(min_length=1, max_length=MOST_ITEMS)]
    length_unit: LengthUnit | UnsetType = UNSET


class RawItems(NamedTuple):
    """The items of a batch before each is read: its JSON text, or why a row could not be made into one."""

    items: list[msgspec.Raw | Refusal]
    length_unit: LengthUnit | UnsetType = UNSET


class Answered(TypedDict, Generic[ItemType]):
    """The fields of a batch answer."""

    items: list[ItemType]
    counts: BatchCounts
    verdicts: dict[str, int]
    warnings: list[AnswerWarning]


def batch_body() -> type[JsonBody]:
    """The reader of a batch; the handler declares the Struct with typed items, for the contract."""
    return json_body(_RawItems)


def answer_items(
    data: object,
    item: tuple[type[RequestType], msgspec.json.Decoder[RequestType]],
    make: Callable[..., ItemType],
    answer: Callable[[RequestType], Any],
    place: str = "items",
) -> Answered[ItemType]:
    """Answer every item of a batch.

    Args:
        data: Body as read by ``batch_body``.
        item: Request Struct of one item, and its decoder.
        make: Struct of one answered item.
        answer: Answers one request.
        place: Field of the request that holds the items.
    """
    model, decoder = item
    items: list[ItemType] = []
    references: list[str] = []
    verdicts: Counter[str] = Counter()
    refused = 0
    for index, raw in enumerate(cast("RawItems", data).items):
        if isinstance(raw, Refusal):
            refused += 1
            items.append(make(index=index, problem=_placed(raw, f"/{place}/{index}")))
            continue
        body = bytes(raw)
        reference = _reference(body)
        if not isinstance(reference, UnsetType):
            references.append(reference)
        try:
            answered = answer(decode(body, decoder, model))
            items.append(make(index=index, client_ref=reference, answer=answered))
            verdicts.update(_verdict(answered))
        except (Refusal, EngineeringError) as error:
            refused += 1
            refusal = error if isinstance(error, Refusal) else refuse_engineering(error)
            items.append(make(index=index, client_ref=reference, problem=_placed(refusal, f"/{place}/{index}")))
    return Answered(
        items=items,
        counts=BatchCounts(answered=len(items) - refused, refused=refused),
        verdicts=dict(sorted(verdicts.items())),
        warnings=_repeated(references),
    )


def _verdict(answered: object) -> tuple[str, ...]:
    """The status of an answer that has one."""
    result = getattr(answered, "result", None)
    named = (getattr(result, name, UNSET) for name in ("status", "lifting_status"))
    return tuple(status for status in named if isinstance(status, str))


def length_in_batch(
    length: Length | UnsetType, value: float | UnsetType, unit: LengthUnit | UnsetType, field: str
) -> Length | UnsetType:
    """The length of an item: its own with its unit, or a plain value in the unit of the batch.

    Raises:
        Inconsistent: both were sent.
        MoreNeeded: a plain value was sent, but no unit for the batch.
    """
    if isinstance(value, UnsetType):
        return length
    if not isinstance(length, UnsetType):
        raise Inconsistent(Issue(field, "over_determined", "Send length with its unit, or length_value, not both."))
    if isinstance(unit, UnsetType):
        text = f"The length {value:g} has no unit; send length_unit for the whole batch, or length with its own."
        raise MoreNeeded(Issue(field, "unit_missing", text, None, value))
    return Length(value=value, unit=unit)


def _reference(body: bytes) -> str | UnsetType:
    """The caller's reference of an item, also of one that is refused."""
    try:
        reference = _REFERENCE.decode(body).client_ref
    except msgspec.DecodeError:
        return UNSET
    return reference if isinstance(reference, str) and len(reference) <= 128 else UNSET


class _Reference(msgspec.Struct, frozen=True):
    client_ref: Any = UNSET


_REFERENCE = msgspec.json.Decoder(_Reference)


def _placed(refusal: Refusal, place: str) -> Problem:
    """The problem of one item: it names its place instead of the request, so that a repeated batch reads the same."""
    document = problem(refusal, "")
    faults = [msgspec.structs.replace(fault, pointer=f"{place}{fault.pointer}") for fault in document.errors]
    return msgspec.structs.replace(document, instance=f"#{place}", errors=faults)


def _repeated(references: list[str]) -> list[AnswerWarning]:
    twice = [reference for reference, count in Counter(references).items() if count > 1]
    if not twice:
        return []
    message = f"References that stand more than once: {', '.join(twice[:5])}. Answers keep the order of the items."
    return [AnswerWarning(code="client_ref_repeated", severity="info", message=message)]
