"""What requests say of the two sides of a question of interchange."""

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.chain_input import ChainName, OwnChain, read_chain
from service.api.quantities import Inputs, Length
from service.calculations.interchange_sides import (
    ComparedChain,
    ComparedWheel,
    Finish,
    Guide,
    Material,
    Profile,
    SilentForm,
    WheelKind,
)
from service.core.errors import Inconsistent, Issue
from service.core.sprocket import FEWEST_TEETH, MOST_TEETH
from service.reference.catalogue import Reference
from service.reference.chains import ChainSize, Family
from service.reference.wheel_names import Hub, WheelName, read_wheel_name

StrandCount = Annotated[float, Meta(ge=1, le=30, multiple_of=1, description="Strands or rows of teeth.")]
WheelTeeth = Annotated[
    float, Meta(ge=FEWEST_TEETH, le=MOST_TEETH, multiple_of=1, description="Number of teeth.", examples=[19])
]
GuideForm = Annotated[Guide, Meta(description="Where the guides of silent chain stand.")]
ToothSystem = Annotated[Profile, Meta(description="System of link teeth and wheel teeth of silent chain.")]


class ChainSide(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One chain: a designation or own figures, and what is known beside them; measured values stand before tables."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    family: Annotated[Family, Meta(description="Of `own_chain`; roller chain where it is left out.")] | UnsetType = (
        UNSET
    )
    strand_count: (
        Annotated[StrandCount, Meta(description="Of `own_chain`; a designation names its own.")] | UnsetType
    ) = UNSET
    pitch: (
        Annotated[Length, Meta(description="Of a size that is made in several pitches, or as measured.")] | UnsetType
    ) = UNSET
    seating_diameter: (
        Annotated[Length, Meta(description="Measured roller, bush or barrel where it meets the tooth.")] | UnsetType
    ) = UNSET
    overall_width: Annotated[Length, Meta(description="Over pins or outer plates, all strands.")] | UnsetType = UNSET
    nominal_width: Annotated[Length, Meta(description="Of silent chain.")] | UnsetType = UNSET
    guide: GuideForm | UnsetType = UNSET
    profile: ToothSystem | UnsetType = UNSET
    material: Material | UnsetType = UNSET
    finish: Finish | UnsetType = UNSET
    elongation_percent: Annotated[float, Meta(ge=0, le=20, description="Wear of this part.")] | UnsetType = UNSET


class WheelSide(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A wheel: the chain it was made for, single figures, or both; figures stand before those of the chain."""

    kind: WheelKind = "toothed"
    chain: (
        Annotated[ChainName, Meta(description="Chain it was made for, or a stock name such as `60B18`.")] | UnsetType
    ) = UNSET
    teeth: WheelTeeth | UnsetType = UNSET
    strand_count: (
        Annotated[StrandCount, Meta(description="Rows of teeth; a designation names its own.")] | UnsetType
    ) = UNSET
    pitch: Length | UnsetType = UNSET
    seating_diameter: Annotated[Length, Meta(description="Roller for which the gap is cut.")] | UnsetType = UNSET
    tooth_width: Annotated[Length, Meta(description="Of one row of teeth.")] | UnsetType = UNSET
    transverse_pitch: Annotated[Length, Meta(description="From row to row.")] | UnsetType = UNSET
    face_width: Annotated[Length, Meta(description="Of a wheel for silent chain.")] | UnsetType = UNSET
    wire_diameter: Annotated[Length, Meta(description="Round link for which the pockets are made.")] | UnsetType = UNSET
    outside_diameter: Annotated[Length, Meta(description="Over the tips; it tells wear, not size.")] | UnsetType = UNSET
    guide: GuideForm | UnsetType = UNSET
    profile: ToothSystem | UnsetType = UNSET
    worn: bool | UnsetType = UNSET


def read_chain_side(sent: ChainSide, name: str, inputs: Inputs, reference: Reference) -> ComparedChain:
    """One chain of the question.

    Raises:
        EngineeringError: as ``read_chain``; ``over_determined`` for a family or strands beside a designation.
    """
    read = read_chain(sent.chain, sent.own_chain, inputs, reference, f"{name}.")
    own = not isinstance(sent.own_chain, UnsetType)
    size, strands = read.size, read.strand_count
    if own:
        size = _of_family(size, sent.family)
        strands = 1 if isinstance(sent.strand_count, UnsetType) else int(sent.strand_count)
    else:
        _refuse_beside_designation(sent, name)
    return ComparedChain(
        field=name,
        name=size.designation if isinstance(sent.chain, UnsetType) else sent.chain,
        size=size,
        strand_count=strands,
        pitch_mm=inputs.optional(sent.pitch, f"/{name}/pitch"),
        seating_diameter_mm=inputs.optional(sent.seating_diameter, f"/{name}/seating_diameter"),
        overall_width_mm=inputs.optional(sent.overall_width, f"/{name}/overall_width"),
        silent=SilentForm(
            nominal_width_mm=inputs.optional(sent.nominal_width, f"/{name}/nominal_width"),
            guide=sent.guide or None,
            profile=sent.profile or None,
        ),
        material=sent.material or None,
        finish=sent.finish or None,
        elongation_percent=None if isinstance(sent.elongation_percent, UnsetType) else sent.elongation_percent,
    )


def _of_family(size: ChainSize, family: Family | UnsetType) -> ChainSize:
    if isinstance(family, UnsetType):
        return size
    return msgspec.structs.replace(size, row=msgspec.structs.replace(size.row, family=family))


def _refuse_beside_designation(sent: ChainSide, name: str) -> None:
    for field in ("family", "strand_count"):
        if not isinstance(getattr(sent, field), UnsetType):
            message = f"A designation names its {field.replace('_', ' ')}; send it with own_chain only."
            raise Inconsistent(Issue(f"{name}.{field}", "over_determined", message))


def read_wheel_side(sent: WheelSide, inputs: Inputs, reference: Reference) -> ComparedWheel:
    """The wheel of the question.

    Raises:
        EngineeringError: as ``read_wheel_name``; ``over_determined`` where name and field tell different teeth.
    """
    named: WheelName | None = None
    if not isinstance(sent.chain, UnsetType):
        named = read_wheel_name(reference.chains, sent.chain, "wheel.chain")
    rows = named.strand_count if named is not None else 1
    return ComparedWheel(
        kind=sent.kind,
        size=None if named is None else named.size,
        strand_count=rows if isinstance(sent.strand_count, UnsetType) else int(sent.strand_count),
        teeth=_teeth(sent, named),
        hub=_hub(named),
        guide=sent.guide or None,
        profile=sent.profile or None,
        worn=None if isinstance(sent.worn, UnsetType) else sent.worn,
        **{f"{name}_mm": inputs.optional(getattr(sent, name), f"/wheel/{name}") for name in _LENGTHS},
    )


_LENGTHS = (
    "pitch",
    "seating_diameter",
    "tooth_width",
    "transverse_pitch",
    "face_width",
    "wire_diameter",
    "outside_diameter",
)


def _hub(named: WheelName | None) -> Hub | None:
    return None if named is None else named.hub


def _teeth(sent: WheelSide, named: WheelName | None) -> int | None:
    of_name = None if named is None else named.teeth
    if isinstance(sent.teeth, UnsetType):
        return of_name
    if of_name not in (None, int(sent.teeth)):
        message = f"The name of the wheel says {of_name} teeth, the field {int(sent.teeth)}."
        raise Inconsistent(Issue("wheel.teeth", "over_determined", message, None, sent.teeth))
    return int(sent.teeth)
