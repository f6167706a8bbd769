"""Which wheel a family of chain runs on, and what is known of such wheels in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.core.errors import Inconsistent, Issue

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.families import StatementRow

WheelKind = Literal["roller", "silent", "engineering", "pocket", "plain"]

RESOURCE: dict[WheelKind, str] = {
    "roller": "POST /v1/sprocket-geometries",
    "silent": "POST /v1/silent-sprocket-geometries",
    "engineering": "POST /v1/engineering-sprocket-geometries",
    "pocket": "POST /v1/pocket-wheel-geometries",
    "plain": "POST /v1/plain-wheel-geometries",
}
"""The resource that computes each kind of wheel."""

_KIND_OF_FAMILY: dict[str, WheelKind] = {
    "roller": "roller",
    "bush": "roller",
    "silent": "silent",
    "leaf": "plain",
    "round_link": "pocket",
}
TOPICS = ("meets_the_tooth", "guides", "wheels", "wheel_making")
"""Topics of the statements on families that speak of wheels."""


def wheel_kind(chain: ChainSize) -> WheelKind:
    """The kind of wheel that a tabulated chain runs on."""
    return _KIND_OF_FAMILY.get(chain.row.family, "engineering")


def hint_of(chain: ChainSize) -> str:
    """Where the wheel of a chain is computed."""
    return f"{RESOURCE[wheel_kind(chain)]} computes the wheel of this chain."


def refuse_leaf_on_teeth(chain: ChainSize) -> None:
    """Refuse leaf chain on any toothed wheel.

    Raises:
        Inconsistent: ``leaf_runs_on_sheave``.
    """
    if chain.row.family == "leaf":
        name = chain.designation
        message = f"{name} is leaf chain: it has no rollers and runs over a sheave, never on a toothed wheel."
        raise Inconsistent(Issue("chain", "leaf_runs_on_sheave", message, None, name, hint_of(chain)))


def expect_wheel(chain: ChainSize, *kinds: WheelKind) -> None:
    """Refuse a tabulated chain that runs on another kind of wheel; a caller's own chain passes.

    Raises:
        Inconsistent: ``leaf_runs_on_sheave`` or ``other_wheel_needed``, with the resource that computes its wheel.
    """
    kind = wheel_kind(chain)
    if chain.row.series == "own" or kind in kinds:
        return
    refuse_leaf_on_teeth(chain)
    words = chain.row.family.replace("_", " ")
    message = f"{chain.designation} is {words} chain, which runs on another kind of wheel."
    raise Inconsistent(Issue("chain", "other_wheel_needed", message, None, chain.designation, hint_of(chain)))


def wheel_statements(
    family: str, reference: Reference, trace: Trace, topics: tuple[str, ...] = TOPICS
) -> tuple[StatementRow, ...]:
    """What is known of the wheels of a family, each statement with its source noted."""
    rows = tuple(row for topic in topics for row in reference.families.statements(family, topic))
    for row in rows:
        trace.row(row, f"{row.topic.replace('_', ' ')} of {row.family.replace('_', ' ')} chain")
    return rows
