"""How a drive runs, in the caller's units: meetings of links and teeth, frequencies, and the joints."""

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.quantities import Presenter, Quantity
from service.calculations import drive_running


class Running(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How links and teeth meet, and what may sing."""

    small_wheel_common_factor: Annotated[
        int, Meta(description="Of its teeth and the pitches; 1 spreads the wear over all links (hunting tooth).")
    ]
    large_wheel_common_factor: int
    small_wheel_turns_to_same_link: Annotated[
        int, Meta(description="Turns of the small wheel until a tooth meets the same link again.")
    ]
    large_wheel_turns_to_same_link: int
    mesh_frequency: Annotated[Quantity, Meta(description="Rollers that meet teeth in a second.")]
    tight_strand_frequency: (
        Annotated[Quantity, Meta(description="First frequency of the tight strand across its length.")] | UnsetType
    ) = UNSET
    joint_flexings_per_hour: Annotated[float, Meta(description="Turnings of one joint, four in each lap.")]
    joint_pressure: (
        Annotated[
            Quantity,
            Meta(
                description=(
                    "In the tight strand, over pin diameter and bush length (roller chain: inner width and two plates)."
                )
            ),
        ]
        | UnsetType
    ) = UNSET
    joint_slide_per_lap: Annotated[Quantity, Meta(description="Way of pin on bush in one lap.")] | UnsetType = UNSET
    joint_wear_index: (
        Annotated[
            float,
            Meta(
                description=(
                    "Pressure times sliding way in an hour, N/mm/h: compares duties of one chain under the same oil "
                    "and dirt, foretells no life."
                )
            ),
        ]
        | UnsetType
    ) = UNSET
    joint_efficiency: (
        Annotated[float, Meta(description="What the joints leave of the power, where `joint_friction` is sent.")]
        | UnsetType
    ) = UNSET


def present_running(running: drive_running.Running, presenter: Presenter) -> Running:
    """How a drive runs, in the caller's units."""
    frequency, joint, own = presenter.of("frequency"), running.joint, running.span_frequency_hz
    efficiency = None if joint is None else joint.efficiency
    return Running(
        small_wheel_common_factor=running.small_common_factor,
        large_wheel_common_factor=running.large_common_factor,
        small_wheel_turns_to_same_link=running.small_turns_before_repeat,
        large_wheel_turns_to_same_link=running.large_turns_before_repeat,
        mesh_frequency=frequency(running.mesh_frequency_hz),
        tight_strand_frequency=UNSET if own is None else frequency(own),
        joint_flexings_per_hour=presenter.number(running.flexings_per_hour),
        joint_pressure=UNSET if joint is None else presenter.of("stress")(joint.pressure_n_mm2),
        joint_slide_per_lap=UNSET if joint is None else presenter.length(joint.slide_per_lap_mm),
        joint_wear_index=UNSET if joint is None else presenter.number(joint.wear_index),
        joint_efficiency=presenter.known_number(efficiency),
    )
