"""A size measured on a wheel against the computed one, as it is answered."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.quantities import Presenter, Quantity
from service.calculations.measured_wheel import MeasuredWheel


class MeasuredWheelFigures(msgspec.Struct, frozen=True, kw_only=True):
    """How far a measured size is from the computed one, and which number of teeth of this chain comes nearest."""

    measured: Quantity
    difference: Annotated[Quantity, Meta(description="Measured less computed.")]
    nearest_teeth: int
    nearest_size: Annotated[Quantity, Meta(description="The computed size at that number of teeth.")]


def present_measured(found: MeasuredWheel | None, presenter: Presenter) -> MeasuredWheelFigures | UnsetType:
    """The comparison in the units that the caller asked for; nothing where nothing was measured."""
    if found is None:
        return UNSET
    return MeasuredWheelFigures(
        measured=presenter.length(found.measured_mm),
        difference=presenter.length(found.difference_mm),
        nearest_teeth=found.nearest_teeth,
        nearest_size=presenter.length(found.nearest_mm),
    )
