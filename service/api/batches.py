"""Many requests in one body: each is read and answered for itself, so that one bad item spoils no other.

The items stay raw bytes until their turn comes; each is then decoded as if it had come alone. Answers keep the order
of the items, echo the caller's references and carry a problem document where a request alone would have got one.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Annotated, Any, Generic, Literal, NamedTuple, TypeVar

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import AnswerWarning, CalculationRequest
from service.api.body import JsonBody, decode
from service.api.problems import Problem, Refusal, problem, refuse_engineering
from service.api.protocol import content_type_of
from service.api.quantities import Length
from service.core.errors import EngineeringError, Inconsistent, Issue, MoreNeeded

MOST_ITEMS = 1000

LengthUnit = Literal["mm", "cm", "m", "in", "ft"]
BatchLengthUnit = Annotated[
    LengthUnit, Meta(description="Unit of every plain length; an item that differs sends its own, such as `length`.")
]

RequestType = TypeVar("RequestType", bound=CalculationRequest)
AnswerType = TypeVar("AnswerType")
ItemType = TypeVar("ItemType")
VerdictsType = TypeVar("VerdictsType")


Detail = Literal["full", "verdicts"]
BatchDetail = Annotated[
    Detail,
    Meta(description="`verdicts` gives each item its status, figures and codes in short, and what they rest on once."),
]


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


class BatchAnswer(msgspec.Struct, Generic[ItemType, VerdictsType], frozen=True, kw_only=True):
    """Answers in the order of the request."""

    items: list[ItemType]
    counts: BatchCounts
    verdicts: VerdictsType
    warnings: list[AnswerWarning]


class Envelope(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A batch whose items are still raw."""

    items: Annotated[list[msgspec.Raw], Meta(min_length=1, max_length=MOST_ITEMS)]


class MeasuredEnvelope(Envelope, frozen=True, forbid_unknown_fields=True):
    """A batch of measured items, whose unit of lengths may be stated once."""

    length_unit: LengthUnit | UnsetType = UNSET
    detail: Detail | UnsetType = UNSET


_ENVELOPES = {model: msgspec.json.Decoder(model) for model in (Envelope, MeasuredEnvelope)}


class BatchText(NamedTuple):
    """The body of a batch as it came; it is read in the thread that answers it."""

    body: bytes
    media_type: str


class RawItems(NamedTuple):
    """The items of a batch before each is read: its JSON text, or why a row could not be made into one."""

    items: list[msgspec.Raw | Refusal]
    length_unit: LengthUnit | UnsetType = UNSET
    short: bool = False


class ItemAnswer(NamedTuple, Generic[AnswerType]):
    """What one item came to."""

    place: int
    client_ref: str | UnsetType
    answer: AnswerType | UnsetType
    problem: Problem | UnsetType


class BatchBody(JsonBody):
    """Takes the bytes of a batch without reading them; the handler declares the typed Struct, for the contract."""

    model = Envelope

    def decode_bytes(self, value: bytes) -> BatchText:
        """The body as it came."""
        return BatchText(value, content_type_of(self.asgi_connection))


def read_batch(body: bytes, model: type[Envelope]) -> RawItems:
    """The items of a batch in JSON.

    Args:
        body: The body as it came.
        model: What may stand beside the items.

    Raises:
        Refusal: 400 if the body is not JSON, 422 if it is no batch.
    """
    envelope: Envelope = decode(body, _ENVELOPES[model], model, _keys_stand_once)
    if not isinstance(envelope, MeasuredEnvelope):
        return RawItems(list(envelope.items))
    return RawItems(list(envelope.items), envelope.length_unit, short=envelope.detail == "verdicts")


def _keys_stand_once(body: bytes, envelope: Envelope) -> bool:
    """Whether the object around the items names each key once; the items are looked at one by one.

    Of the values beside the items none holds a colon, so that each colon outside the items belongs to a key.
    """
    keys = sum(getattr(envelope, name) is not UNSET for name in envelope.__struct_fields__)
    return body.count(b":") == keys + sum(bytes(raw).count(b":") for raw in envelope.items)


def each_item(
    items: Iterable[msgspec.Raw | Refusal],
    item: tuple[type[RequestType], msgspec.json.Decoder[RequestType]],
    answer: Callable[[RequestType], AnswerType],
    place: str = "items",
) -> Iterator[ItemAnswer[AnswerType]]:
    """Answer the items of a batch one after the other.

    Args:
        items: The items as they came.
        item: Request Struct of one item, and its decoder.
        answer: Answers one request.
        place: Field of the request that holds the items.
    """
    model, decoder = item
    for index, raw in enumerate(items):
        if isinstance(raw, Refusal):
            yield ItemAnswer(index, UNSET, UNSET, _placed(raw, f"/{place}/{index}"))
            continue
        body = bytes(raw)
        try:
            request = decode(body, decoder, model)
            yield ItemAnswer(index, request.client_ref, answer(request), UNSET)
        except (Refusal, EngineeringError) as error:
            refusal = error if isinstance(error, Refusal) else refuse_engineering(error)
            yield ItemAnswer(index, _reference(body), UNSET, _placed(refusal, f"/{place}/{index}"))


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
    named = field.rpartition(".")[2].removesuffix("_value")
    if not isinstance(length, UnsetType):
        raise Inconsistent(Issue(field, "over_determined", f"Send {named} with its unit, or {named}_value, not both."))
    if isinstance(unit, UnsetType):
        text = f"The length {value:g} has no unit; send length_unit for the whole batch, or {named} with its own."
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
