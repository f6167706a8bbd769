"""The shape of the files: purity of the core, size of modules and functions, names by subject."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULE_LINES = 400
BODY_LINES = 30
NAMES_WITHOUT_A_SUBJECT = {"utils", "util", "helpers", "helper", "common", "misc", "tools", "shared", "stuff"}
NOT_FOR_THE_CORE = {"logging", "warnings", "os", "pathlib", "io", "time", "datetime", "random", "socket", "subprocess"}
CATALOGUE_MACHINERY = {"importlib", "pkgutil"}


def python_files(folder: str) -> list[Path]:
    return sorted((ROOT / folder).rglob("*.py"))


def imported(path: Path) -> set[str]:
    """Full names of the modules that a file imports."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            names.add(node.module or "")
    return names


def body_lines(function: ast.FunctionDef) -> int:
    """Lines from the first statement after the docstring to the last."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


@pytest.fixture(params=python_files("service/core"), ids=lambda path: path.name, name="core_file")
def _core_file(request: pytest.FixtureRequest) -> Path:
    return Path(request.param)


def test_core_imports_the_standard_library_and_itself_only(core_file: Path) -> None:
    foreign = {
        name
        for name in imported(core_file)
        if name.split(".")[0] not in sys.stdlib_module_names
        and name != "service"
        and not f"{name}.".startswith("service.core.")
    }
    assert foreign == set()


def test_core_has_no_side_effects(core_file: Path) -> None:
    roots = {name.split(".")[0] for name in imported(core_file)}
    allowed = CATALOGUE_MACHINERY if core_file.name == "equations.py" else set()
    assert roots & (NOT_FOR_THE_CORE | CATALOGUE_MACHINERY) <= allowed
    calls = [node for node in ast.walk(ast.parse(core_file.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    names = {call.func.id for call in calls if isinstance(call.func, ast.Name)}
    assert names & {"print", "open", "input", "round"} == set()


def test_core_functions_are_short(core_file: Path) -> None:
    long = {
        node.name: body_lines(node)
        for node in ast.walk(ast.parse(core_file.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef) and body_lines(node) > BODY_LINES
    }
    assert long == {}


def test_modules_are_split_by_subject() -> None:
    files = python_files("service") + python_files("client_examples")
    lengths = {str(path.relative_to(ROOT)): len(path.read_text(encoding="utf-8").splitlines()) for path in files}
    assert {name: count for name, count in lengths.items() if count > MODULE_LINES} == {}


def test_files_are_named_for_their_subject() -> None:
    files = [path for folder in ("service", "client_examples", "tests") for path in python_files(folder)]
    assert [str(path) for path in files if set(path.stem.split("_")) & NAMES_WITHOUT_A_SUBJECT] == []
