"""Batches as CSV: one row for each item in, one row for each answer or problem out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import msgspec
from litestar import Response
from msgspec import UNSET

from service.api.batches import MOST_ITEMS, RawItems, batch_body
from service.api.csv_rows import CSV, CSV_SENT, cells_of, columns_of, read_items, write_rows
from service.api.protocol import content_type_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.api.batches import BatchItem
    from service.api.body import JsonBody

_BEFORE = ("index", "client_ref", "outcome")
_AFTER = ("warnings", "data_version", "problem_code", "problem_pointers", "problem_detail")


def batch_or_csv_body(model: type[msgspec.Struct]) -> type[JsonBody]:
    """The reader of a batch that comes as JSON or as CSV with one row for each item of a model."""
    json_only = batch_body()

    class Body(json_only):  # type: ignore[misc,valid-type]
        """JSON or CSV by the Content-Type."""

        def decode_bytes(self, value: bytes) -> Any:  # noqa: ANN401 raw items
            if content_type_of(self.asgi_connection) != CSV:
                return super().decode_bytes(value)
            return RawItems(items=read_items(value, model, MOST_ITEMS))

    return Body


def csv_answer(items: Iterable[BatchItem[Any]], result: type[msgspec.Struct]) -> Response[bytes]:
    """The items of a batch answer as a table: the fields of the result, or why there is none."""
    columns = columns_of(result)
    names = [*_BEFORE, *(column.name for column in columns), *_AFTER]
    rows = []
    for item in items:
        row: dict[str, object] = {"index": item.index}
        if item.client_ref is not UNSET:
            row["client_ref"] = item.client_ref
        if item.answer is not UNSET:
            row |= cells_of(item.answer.result, columns)
            row["outcome"] = "answered"
            row["warnings"] = [warning.code for warning in item.answer.warnings]
            row["data_version"] = item.answer.versions.data
        if not isinstance(item.problem, msgspec.UnsetType):
            row["outcome"] = "refused"
            row["problem_code"] = item.problem.code
            row["problem_pointers"] = [fault.pointer for fault in item.problem.errors]
            row["problem_detail"] = item.problem.detail
        rows.append(row)
    return Response(write_rows(names, rows), media_type=CSV_SENT, headers={"vary": "accept"})
