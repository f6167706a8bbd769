"""What requests say of a chain and its wheels: a designation or the caller's own figures, and tooth counts."""

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import PlainText
from service.api.problems import pointer_of
from service.api.quantities import Force, Inputs, Length, MassPerLength, Reading
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.reference.catalogue import Reference
from service.reference.chains import Chains, ChainSize, own_size
from service.reference.designations import Designation, read_designation

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


class OwnChain(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A chain that the tables do not hold, by its own figures; the answer says that they are the caller's.

    Only the figures that a calculation needs must be sent; it names those that are missing.
    """

    name: PlainText = "own chain"
    pitch: Length
    roller_diameter: Length | UnsetType = UNSET
    inner_width: Length | UnsetType = UNSET
    transverse_pitch: Length | UnsetType = UNSET
    pin_diameter: Length | UnsetType = UNSET
    inner_plate_height: Length | UnsetType = UNSET
    plate_thickness: Length | UnsetType = UNSET
    bearing_length: Length | UnsetType = UNSET
    minimum_tensile_strength: Force | UnsetType = UNSET
    allowable_load: Force | UnsetType = UNSET
    measuring_force: Force | UnsetType = UNSET
    mass_per_length: MassPerLength | UnsetType = UNSET


def read_chain(
    chain: str | UnsetType, own_chain: OwnChain | UnsetType, inputs: Inputs, reference: Reference, at: str = ""
) -> Designation:
    """The size that a request means, and its strands: one where the designation names none, and for own figures.

    Args:
        chain: Designation or alias.
        own_chain: Figures of the caller.
        inputs: Keeps how ambiguous units were read.
        reference: The tables.
        at: Where the two stand in the body, such as ``installed.``; empty for the top.

    Raises:
        Inconsistent: both a designation and own figures were sent.
        MoreNeeded: neither was sent, or the designation may mean several sizes.
        NotInReference: the designation is unknown.
        OutOfRange: the size is not served in that many strands.
    """
    if isinstance(chain, UnsetType):
        if isinstance(own_chain, UnsetType):
            raise MoreNeeded(
                Issue(f"{at}chain", "field_required", "Send chain (a designation) or own_chain (your figures).")
            )
        return Designation(_own(own_chain, inputs, reference.chains, at), 1)
    if not isinstance(own_chain, UnsetType):
        raise Inconsistent(
            Issue(
                f"{at}own_chain",
                "over_determined",
                "Send chain or own_chain, not both: a designation has its figures.",
            )
        )
    return read_designation(reference.chains, chain, f"{at}chain")


def _own(own_chain: OwnChain, inputs: Inputs, chains: Chains, at: str) -> ChainSize:
    _question_unit(own_chain.pitch, inputs, chains, at)
    figures = {}
    for name in own_chain.__struct_fields__:
        quantity = getattr(own_chain, name)
        if name != "name" and not isinstance(quantity, UnsetType):
            figures[name] = inputs.canonical(quantity, pointer_of(f"{at}own_chain.{name}"))
    return own_size(own_chain.name, figures, field=f"{at}own_chain")


def _question_unit(pitch: Length, inputs: Inputs, chains: Chains, at: str) -> None:
    """Warn of, or refuse, a pitch that would be a tabulated one if mm and inch were exchanged.

    Raises:
        MoreNeeded: the pitch is smaller than any tabulated one.
    """
    value = pitch.value
    if pitch.unit == "in" and chains.is_pitch(value) and not chains.is_pitch(25.4 * value):
        message = (
            f"A pitch of {value:g} in is {25.4 * value:g} mm; {value:g} mm is a tabulated pitch: is the unit right?"
        )
        inputs.readings.append(Reading("unit_suspect", message, pointer_of(f"{at}own_chain.pitch.unit"), "caution"))
    if pitch.unit == "mm" and value < chains.smallest_pitch_mm and chains.is_pitch(25.4 * value):
        raise MoreNeeded(
            Issue(
                f"{at}own_chain.pitch.unit",
                "unit_suspect",
                f"A pitch of {value:g} mm is smaller than any tabulated one; {value:g} in is one: which is meant?",
                chains.smallest_pitch_mm,
                value,
                "Send the unit that is meant.",
            )
        )
