"""The equation catalogue: every relation with its symbol, unit and the publication it is printed in."""

from __future__ import annotations

import importlib
import pkgutil
from typing import TYPE_CHECKING, Literal, NamedTuple, ParamSpec, TypeVar

from service import core

if TYPE_CHECKING:
    from collections.abc import Callable

P = ParamSpec("P")
R = TypeVar("R")

Confidence = Literal["published", "secondary", "memory", "derived", "practice"]
"""How a relation was seen: read in print, read quoted, recalled, plain geometry or algebra of ours, common practice."""


class Source(NamedTuple):
    """Where a relation is printed: an id of the register ``service/reference/sources.toml`` and the place in it."""

    id: str
    locator: str
    confidence: Confidence


class Equation(NamedTuple):
    """One row of the catalogue."""

    id: str
    symbol: str
    unit: str
    sources: tuple[Source, ...]
    summary: str
    function: Callable[..., object]


CATALOGUE: dict[str, Equation] = {}
_BY_FUNCTION: dict[object, Equation] = {}


def equation(
    identifier: str, *, symbol: str, unit: str, sources: tuple[Source, ...]
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Enter a function in the catalogue and return it unchanged.

    Args:
        identifier: ``subject.relation``, unique.
        symbol: The standard's symbol of the result, or the plain word where there is none.
        unit: Unit of the result as printed, ``-`` for a pure number; ``object`` for a result of several figures.
        sources: Publications that print the relation, the preferred one first.

    Raises:
        ValueError: the identifier is taken, has no subject, or no source is named.
    """

    def enter(function: Callable[P, R]) -> Callable[P, R]:
        if identifier in CATALOGUE or "." not in identifier or not sources or not function.__doc__:
            raise ValueError(f"equation {identifier!r} is taken, malformed, undocumented or without a source")
        summary = function.__doc__.strip().split("\n", 1)[0]
        entry = Equation(identifier, symbol, unit, sources, summary, function)
        CATALOGUE[identifier] = _BY_FUNCTION[function] = entry
        return function

    return enter


def entry_of(function: object) -> Equation:
    """The catalogue row of a function; KeyError if it is not catalogued."""
    return _BY_FUNCTION[function]


def load_catalogue() -> dict[str, Equation]:
    """Import every module of the core, so that each equation has entered, and return the catalogue."""
    for module in pkgutil.iter_modules(core.__path__, core.__name__ + "."):
        importlib.import_module(module.name)
    return CATALOGUE
