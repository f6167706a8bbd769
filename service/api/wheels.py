"""What requests say of a chain and its wheels: designation or own pitch, tooth counts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from msgspec import Meta, UnsetType

from service.api.quantities import Inputs, Length
from service.core.errors import Inconsistent, Issue, MoreNeeded

if TYPE_CHECKING:
    from service.reference.catalogue import Reference

ChainName = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=60,
        pattern=r"^[^\x00-\x1f\x7f]*$",
        description="Designation or alias as listed at `GET /v1/chains`, such as `80`, `16B-2`, `2040`.",
        examples=["16B-1"],
    ),
]

# A whole number; given as a float with a step of one because 17.0 is a whole number too.
Teeth = Annotated[float, Meta(ge=1, le=10_000, multiple_of=1, description="Number of teeth.", examples=[19])]


def pitch_of(chain: str | UnsetType, pitch: Length | UnsetType, inputs: Inputs, reference: Reference) -> float:
    """Pitch in mm from a designation or from the caller's own pitch.

    Raises:
        Inconsistent: both were sent.
        MoreNeeded: neither was sent.
        NotInReference: the designation is unknown.
    """
    if isinstance(chain, UnsetType):
        if isinstance(pitch, UnsetType):
            raise MoreNeeded(Issue("chain", "field_required", "Send chain (a designation) or pitch (your own)."))
        return inputs.canonical(pitch, "/pitch")
    if not isinstance(pitch, UnsetType):
        raise Inconsistent(
            Issue("pitch", "over_determined", "Send chain or pitch, not both: a designation fixes its pitch.")
        )
    return reference.chains.get(chain).figure("pitch").value
