"""Names under which wheels of inch roller chain are stocked: size, letter of the hub, teeth."""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from service.core.errors import Issue, MoreNeeded
from service.core.sprocket import FEWEST_TEETH
from service.reference.chains import Chains, ChainSize, fold
from service.reference.designations import read_designation

Hub = Literal["none", "one_side", "both_sides"]
_HUBS: dict[str, Hub] = {"A": "none", "B": "one_side", "C": "both_sides"}
"""Letters in wide use for the hub; common practice, in no standard."""
_STOCK_NAME = re.compile(r"(\d{2,3})([ABC])(\d{1,3})")


class WheelName(NamedTuple):
    """What the name of a wheel says; teeth and hub are None where it names the chain alone."""

    size: ChainSize
    strand_count: int
    teeth: int | None = None
    hub: Hub | None = None


def read_wheel_name(chains: Chains, text: str, field: str) -> WheelName:
    """The wheel that a stock name or the designation of its chain means: ``80B20``, ``16B-2``.

    Raises:
        EngineeringError: as ``read_designation``.
        MoreNeeded: ``designation_ambiguous`` where the letter may be the hub or the series of ISO 606.
    """
    name = fold(text)
    found = _STOCK_NAME.fullmatch(name)
    if (
        found is None
        or int(found[3]) < FEWEST_TEETH
        or chains.find(name) is not None
        or (size := chains.find(found[1])) is None
    ):
        return WheelName(*read_designation(chains, text, field))
    if chains.find(found[1] + found[2]) is not None:
        series = found[1] + found[2]
        message = f"{text[:40]!r} is a wheel of chain {found[1]} with its hub letter, or one of chain {series}: which?"
        raise MoreNeeded(
            Issue(field, "designation_ambiguous", message, None, text[:40], "Send the chain, and teeth beside it."),
            candidates=(found[1], series),
        )
    return WheelName(size, 1, int(found[3]), _HUBS[found[2]])
