"""The answer of a batch: made in a thread of a small pool, item by item, and sent in pieces.

Nothing of a batch is done on the event loop but to take its bytes in and to pass its answer on: each item is encoded
and let go before the next one, so that no step holds the interpreter for long, and the collector of reference cycles
finds no heap of answers to walk. That is what keeps look-ups on the same worker quick beside a batch.
"""

from __future__ import annotations

import asyncio
from abc import ABC, abstractmethod
from collections import Counter
from typing import TYPE_CHECKING, Any

import msgspec
from litestar import Response
from msgspec import UNSET, UnsetType

from service.api.answers import AnswerWarning
from service.api.background import background_pool
from service.api.batches import BatchAnswer, BatchCounts, ItemAnswer
from service.api.protocol import JSON

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from service.api.wear_verdicts import BasisKeeper

PIECE_BYTES = 65_536
"""Size from which a piece of an answer is handed to the server."""

_ENCODER = msgspec.json.Encoder()
_POOL = background_pool("batch")
_SHARED = ("sources", "cautions", "assumptions")
"""Fields of an answer that many items have in common, as one and the same list."""


class PiecewiseResponse(Response[Any]):
    """An encoded answer that leaves in pieces, each when the one before it is on its way."""

    def __init__(self, pieces: Iterable[bytes], media_type: str = JSON) -> None:
        self.content = list(_joined(pieces))
        self._type = media_type.encode()

    def to_asgi_response(self, *_: object, **__: object) -> _Pieces:  # type: ignore[override]
        """The finished answer."""
        return _Pieces(self.content, self._type)


class _Pieces:
    """The answer as an ASGI application."""

    __slots__ = ("_pieces", "_type")

    def __init__(self, pieces: list[bytes], media_type: bytes) -> None:
        self._pieces = pieces
        self._type = media_type

    async def __call__(self, _scope: object, _receive: object, send: Callable[[dict[str, Any]], Any]) -> None:
        """Send the pieces; other requests have their turn between them."""
        length = str(sum(map(len, self._pieces))).encode()
        headers = [(b"content-type", self._type), (b"content-length", length), (b"vary", b"accept")]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        for piece in self._pieces:
            await send({"type": "http.response.body", "body": piece, "more_body": True})
            await asyncio.sleep(0)
        await send({"type": "http.response.body", "body": b""})


def _joined(parts: Iterable[bytes]) -> Iterable[bytes]:
    """The same bytes in pieces of a size that is worth a call of the server."""
    piece = bytearray()
    for part in parts:
        piece += part
        if len(piece) >= PIECE_BYTES:
            yield bytes(piece)
            piece.clear()
    if piece:
        yield bytes(piece)


async def in_pool(work: Callable[[], PiecewiseResponse]) -> PiecewiseResponse:
    """Do the work of a batch in a thread; a third batch waits, so that many of them cannot crowd the processor."""
    return await asyncio.get_running_loop().run_in_executor(_POOL, work)


def json_answer(
    items: Iterable[ItemAnswer[Any]],
    make: Callable[..., msgspec.Struct],
    envelope: type[BatchAnswer[Any, Any]],
    tally: Tally,
    keeper: BasisKeeper | None = None,
) -> PiecewiseResponse:
    """The items of a batch as JSON.

    Args:
        items: The items, answered one by one while they are taken.
        make: Struct of one answered item.
        envelope: Struct of the whole answer.
        tally: Counts what the items come to.
        keeper: Gathered what the items rest on, where each is a verdict in short.
    """
    shared = _Shared()
    encoded = []
    for one in items:
        tally.count(one)
        content = {"answer": one.answer} if keeper is None else {"verdict": UNSET}
        if not isinstance(one.answer, UnsetType):
            if keeper is None:
                shared.put_into(one.answer)
            else:
                content["verdict"] = one.answer.result
        item = make(index=one.place, client_ref=one.client_ref, problem=one.problem, **content)
        encoded.append(_ENCODER.encode(item))
    counts, verdicts, warnings = tally.summary()
    around = envelope(
        items=[],
        counts=counts,
        verdicts=verdicts,
        warnings=warnings,
        **({} if keeper is None else {"basis": keeper.basis()}),
    )
    return PiecewiseResponse(framed(_ENCODER.encode(around), encoded))


def framed(around: bytes, encoded: list[bytes]) -> Iterable[bytes]:
    """Encoded items put into an encoded answer whose list of items, the first of its fields, is empty."""
    start, end = around.split(b"[]", 1)
    yield start + b"["
    for place, item in enumerate(encoded):
        yield b"," + item if place else item
    yield b"]" + end


class _Shared:
    """Encodes a list that many answers share once for all of them."""

    __slots__ = ("_known",)

    def __init__(self) -> None:
        # The list is kept beside its text: its identity means nothing once it is gone.
        self._known: dict[int, tuple[list[Any], msgspec.Raw]] = {}

    def put_into(self, answer: msgspec.Struct) -> None:
        """Put the texts in place of the lists of an answer that is about to be encoded."""
        for field in _SHARED:
            content = getattr(answer, field)
            known = self._known.get(id(content))
            if known is None:
                known = self._known[id(content)] = content, msgspec.Raw(_ENCODER.encode(content))
            msgspec.structs.force_setattr(answer, field, known[1])


class Tally(ABC):
    """Counts what the items of a batch came to; each kind of answer has verdicts of its own."""

    __slots__ = ("_answered", "_references", "_refused")

    def __init__(self) -> None:
        self._answered = self._refused = 0
        self._references: Counter[str] = Counter()

    def count(self, one: ItemAnswer[Any]) -> None:
        """Count one item."""
        if not isinstance(one.client_ref, UnsetType):
            self._references[one.client_ref] += 1
        if isinstance(one.answer, UnsetType):
            self._refused += 1
            return
        self._answered += 1
        self.judge(one)

    @abstractmethod
    def judge(self, one: ItemAnswer[Any]) -> None:
        """Count the verdict of an answered item."""

    @abstractmethod
    def verdicts(self, refused: int) -> msgspec.Struct:
        """What the answered items came to, and how many were refused."""

    def summary(self) -> tuple[BatchCounts, msgspec.Struct, list[AnswerWarning]]:
        """Counts, verdicts, and what concerns the batch as a whole."""
        counts = BatchCounts(answered=self._answered, refused=self._refused)
        return counts, self.verdicts(self._refused), _repeated(self._references)


def _repeated(references: Counter[str]) -> list[AnswerWarning]:
    twice = [reference for reference, count in references.items() if count > 1]
    if not twice:
        return []
    message = f"References that stand more than once: {', '.join(twice[:5])}. Answers keep the order of the items."
    return [AnswerWarning(code="client_ref_repeated", severity="info", message=message)]
