"""``POST /v1/interchange-checks/batch``: many questions of interchange, such as every chain of a store at once."""

from __future__ import annotations

from collections import Counter
from typing import Annotated, cast

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import Meta

from service.api.answers import Context
from service.api.batch_answers import PiecewiseResponse, Tally, in_pool, json_answer
from service.api.batches import (
    MOST_ITEMS,
    BatchAnswer,
    BatchBody,
    BatchItem,
    BatchText,
    Envelope,
    ItemAnswer,
    each_item,
    read_batch,
)
from service.api.contract import Example, operation
from service.api.interchange_checks import EXAMPLES, InterchangeAnswer, InterchangeRequest, answer


class InterchangeBatchRequest(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Questions on many pairs of chains, or of chains and wheels."""

    items: Annotated[list[InterchangeRequest], Meta(min_length=1, max_length=MOST_ITEMS)]


class InterchangeVerdicts(msgspec.Struct, frozen=True, kw_only=True):
    """How many items came to each end."""

    verdict: Annotated[dict[str, int], Meta(description="Items by step of the scale.")]
    suits_purpose: Annotated[dict[str, int], Meta(description="Items by whether the purpose asked for is met.")]
    problems: Annotated[int, Meta(description="Items that were refused.")]


class InterchangeBatchItem(BatchItem[InterchangeAnswer], frozen=True, kw_only=True, omit_defaults=True):
    """Answer or problem of one question."""


class InterchangeBatchAnswer(BatchAnswer[InterchangeBatchItem, InterchangeVerdicts], frozen=True, kw_only=True):
    """Answer of `POST /v1/interchange-checks/batch`."""


class InterchangeTally(Tally):
    """Counts steps of the scale, and how many items suit their purpose."""

    __slots__ = ("_suits", "_verdicts")

    def __init__(self) -> None:
        super().__init__()
        self._verdicts: Counter[str] = Counter()
        self._suits: Counter[str] = Counter()

    def judge(self, one: ItemAnswer[InterchangeAnswer]) -> None:
        """Count the verdict of a pair."""
        result = cast("InterchangeAnswer", one.answer).result
        self._verdicts[result.verdict] += 1
        self._suits[result.suits_purpose] += 1

    def verdicts(self, refused: int) -> InterchangeVerdicts:
        """The steps of the scale that occur, in alphabetical order."""
        return InterchangeVerdicts(
            verdict=dict(sorted(self._verdicts.items())),
            suits_purpose=dict(sorted(self._suits.items())),
            problems=refused,
        )


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    item = (InterchangeRequest, msgspec.json.Decoder(InterchangeRequest))

    @post(
        "/v1/interchange-checks/batch",
        dto=BatchBody,
        request_max_body_size=context.most_batch_bytes,
        **operation(
            "check_interchanges",
            tag="choice",
            summary="Whether chains may replace one another, many pairs at once",
            description=(
                "As the single check, for up to 1,000 pairs in one body. Answers keep the order of the items and echo "
                "their references; `verdicts` counts the steps of the scale. An item that is refused carries its "
                "problem and spoils no other."
            ),
            examples=BATCH_EXAMPLES,
            answer=InterchangeBatchAnswer,
            in_thread=None,
        ),
    )
    async def check_interchanges(data: JSONBody[InterchangeBatchRequest]) -> PiecewiseResponse:
        text = cast("BatchText", data)

        def work() -> PiecewiseResponse:
            batch = read_batch(text.body, Envelope)
            answers = each_item(batch.items, item, lambda one: answer(one, context))
            return json_answer(answers, InterchangeBatchItem, InterchangeBatchAnswer, InterchangeTally())

        return await in_pool(work)

    return [check_interchanges]


BATCH_EXAMPLES = {
    "store_against_plant": Example(
        "What the store of the invented Lindholm plant may put in place of what runs; one name is not known",
        {
            "items": [
                {"client_ref": "C-104 head", **(EXAMPLES["inch_for_metric"].body or {})},
                {
                    "client_ref": "C-105 head",
                    "purpose": "whole_chain",
                    "installed": {"chain": "80"},
                    "replacement": {"chain": "16A-1"},
                },
                {
                    "client_ref": "C-106",
                    "purpose": "whole_chain",
                    "installed": {"chain": "80"},
                    "replacement": {"chain": "16C"},
                },
            ]
        },
    ),
    "empty": Example("A batch without items", {"items": []}, status=422),
}
