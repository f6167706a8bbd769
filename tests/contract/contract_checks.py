"""Checks of our own that the fuzzing of the contract makes beside its built-in ones; loaded by schemathesis.toml."""

from __future__ import annotations

from typing import Any

import schemathesis
from schemathesis import GenerationMode


@schemathesis.check
def sound_request_is_not_called_a_breach(ctx: Any, response: Any, case: Any) -> None:  # noqa: ARG001 the form of a check
    """What fits the schema may have no engineering answer, but it does not break the contract."""
    if response.status_code == 422 and case.meta is not None and case.meta.generation.mode is GenerationMode.POSITIVE:
        problem = response.json()
        # Which cursors were handed out, no schema can say.
        cursor = {fault["code"] for fault in problem["errors"]} <= {"cursor_invalid", "cursor_expired"}
        if problem["code"] == "invalid_request" and not cursor:
            raise AssertionError(f"fits the schema and was refused as invalid: {problem['errors']}")


@schemathesis.check
def refusal_has_one_shape(ctx: Any, response: Any, case: Any) -> None:  # noqa: ARG001 the form of a check
    """Each problem document names a cause that a caller can act on."""
    if 400 <= response.status_code < 500 and case.method != "HEAD":
        problem = response.json()
        if problem["status"] != response.status_code or not problem["detail"]:
            raise AssertionError(f"no sound problem document: {problem}")
