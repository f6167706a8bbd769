"""Every code that the service can answer is registered for what it is used as, and none is registered in vain."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from service.core.errors import EngineeringError
from service.reference.codes import load_codes
from service.units.table import UNITS

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2] / "service"
CODES = load_codes()

PLACE_OF_CODE: dict[str, tuple[str, int]] = {
    # call: kind of code, position of the code among the arguments
    "Issue": ("fault", 1),
    "Fault": ("fault", 1),
    "_fault": ("fault", 1),
    "_malformed": ("fault", 0),
    "_refused": ("fault", 0),
    "ChainNote": ("warning", 0),
    "Refusal": ("problem", 1),
    "warn": ("warning", 0),
    "AnswerWarning": ("warning", 0),
    "Reading": ("warning", 0),
    "Warning_": ("warning", 0),
    "at_least": ("fault", 3),
    "at_most": ("fault", 3),
}

AWAITED: set[str] = set()
"""Registered ahead of the calculation that will answer them; each leaves this list when it does."""


def trees() -> Iterator[tuple[Path, ast.Module]]:
    for path in sorted(ROOT.rglob("*.py")):
        yield path, ast.parse(path.read_text(encoding="utf-8"))


def called(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def literals(node: ast.expr, function: ast.AST) -> Iterator[str]:
    """The texts that an expression can be: constants, both arms of a condition, and what its name was set to."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from literals(node.body, function)
        yield from literals(node.orelse, function)
    elif isinstance(node, ast.Name):
        for assignment in ast.walk(function):
            if isinstance(assignment, ast.Assign) and any(
                isinstance(target, ast.Name) and target.id == node.id for target in assignment.targets
            ):
                yield from literals(assignment.value, function)


def in_calls() -> Iterator[tuple[str, str, str]]:
    """Where a call uses a code, as what kind, and the code."""
    for path, tree in trees():
        functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]
        for function in [*functions, tree]:
            for call in ast.walk(function):
                if isinstance(call, ast.Call) and called(call) in PLACE_OF_CODE:
                    kind, position = PLACE_OF_CODE[called(call)]
                    named = [keyword.value for keyword in call.keywords if keyword.arg == "code"]
                    for argument in named or call.args[position : position + 1]:
                        for code in literals(argument, function):
                            yield f"{path.relative_to(ROOT)}:{call.lineno}", kind, code


def used() -> Iterator[tuple[str, str, str]]:
    """Where a code is used, as what kind, and the code."""
    yield from in_calls()
    for kind_of_quantity, kind in UNITS.kinds.items():
        for token, definition in kind.tokens.items():
            if definition.assumed is not None:
                yield f"units/definitions.toml: {kind_of_quantity}.{token}", "warning", definition.assumed
    for refusal in EngineeringError.__subclasses__():
        yield f"core/errors.py: {refusal.__name__}", "problem", refusal.code


def texts() -> set[str]:
    """Every text in the code, and every text in the data files that can name a code."""
    found = {
        node.value
        for _, tree in trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    data = [path for path in ROOT.rglob("*.toml") if path.name != "codes.toml"]

    def walk(value: object) -> Iterator[str]:
        if isinstance(value, str):
            yield value
        elif isinstance(value, dict):
            for entry in value.values():
                yield from walk(entry)
        elif isinstance(value, list):
            for entry in value:
                yield from walk(entry)

    for path in data:
        found.update(walk(msgspec.toml.decode(path.read_bytes())))
    return found


def test_used_codes_are_found_at_all() -> None:
    kinds = {kind for _, kind, _ in used()}
    assert kinds == {"problem", "fault", "warning"}
    assert {"must_be_whole", "unit_assumed", "odd_pitch_count", "overloaded"} <= {code for _, _, code in used()}


def test_every_used_code_is_registered_for_its_use() -> None:
    wrong = {
        f"{where}: {code} is used as {kind}, registered as {CODES[code].kind if code in CODES else 'nothing'}"
        for where, kind, code in used()
        if code not in CODES or kind not in CODES[code].kind
    }
    assert sorted(wrong) == [], "register them in service/reference/codes.toml"


def test_no_code_is_registered_in_vain() -> None:
    assert sorted(set(CODES) - texts() - AWAITED) == [], "answer them, or await them for a while in AWAITED"


def test_awaited_codes_are_still_awaited() -> None:
    assert sorted(code for code in AWAITED if code in texts() or code not in CODES) == []


def test_codes_have_a_plain_form() -> None:
    for code in CODES.values():
        assert code.id.replace("_", "").isalnum(), code.id
        assert code.id == code.id.lower(), code.id
        assert not code.title.endswith("."), code.id
        assert code.meaning.endswith("."), code.id
