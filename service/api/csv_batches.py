"""Batches as CSV: one row for each item in, one row for each answer or problem out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import UNSET, UnsetType

from service.api.batch_answers import PiecewiseResponse
from service.api.batches import MOST_ITEMS, BatchText, MeasuredEnvelope, RawItems, read_batch
from service.api.csv_rows import CSV, CSV_SENT, cells_of, columns_of, read_items, write_rows

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    import msgspec

    from service.api.batches import ItemAnswer

_BEFORE = ("index", "client_ref", "outcome")
_AFTER = ("warnings", "data_version", "problem_code", "problem_pointers", "problem_detail")


def read_batch_or_table(text: BatchText, model: type[msgspec.Struct]) -> RawItems:
    """The items of a batch that came as JSON, or as CSV with one row for each item of a model.

    Raises:
        Refusal: the body as a whole cannot be read.
    """
    if text.media_type == CSV:
        return RawItems(read_items(text.body, model, MOST_ITEMS))
    return read_batch(text.body, MeasuredEnvelope)


def csv_answer(items: Iterable[ItemAnswer[Any]], result: type[msgspec.Struct]) -> PiecewiseResponse:
    """The items of a batch as a table: the fields of the result, or why there is none."""
    columns = columns_of(result)
    own = [column.name for column in columns]
    names = [*_BEFORE, *own, *(name for name in _AFTER if name not in own)]

    def rows() -> Iterator[dict[str, object]]:
        for one in items:
            row: dict[str, object] = {"index": one.place}
            if one.client_ref is not UNSET:
                row["client_ref"] = one.client_ref
            if not isinstance(one.answer, UnsetType):
                row |= cells_of(one.answer.result, columns)
                row["outcome"] = "answered"
                if "warnings" not in own:  # a verdict in short names its codes itself
                    row["warnings"] = [warning.code for warning in one.answer.warnings]
                row["data_version"] = one.answer.versions.data
            if not isinstance(one.problem, UnsetType):
                row["outcome"] = "refused"
                row["problem_code"] = one.problem.code
                row["problem_pointers"] = [fault.pointer for fault in one.problem.errors]
                row["problem_detail"] = one.problem.detail
            yield row

    return PiecewiseResponse([write_rows(names, rows())], f"{CSV_SENT}; charset=utf-8")
