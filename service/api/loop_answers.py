"""A loop as it is answered: the Structs of ``POST /v1/chain-loops`` and how a result fills them."""

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer
from service.api.quantities import Presenter, Quantity
from service.calculations.chain_loop import ChainLoopResult, LoopFit
from service.core.loops import Travel


class LoopPoint(msgspec.Struct, frozen=True, kw_only=True):
    """A point in the coordinates of the request."""

    x: Quantity
    y: Quantity


class LoopChoice(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A whole number of pitches, with the slack that it leaves or the travel that takes it up."""

    pitch_count: int
    offset_link: bool
    slack_length: Annotated[Quantity, Meta(description="Chain longer than the taut path by this much.")]
    slide_travel: Quantity | UnsetType = UNSET
    wear_reserve_percent: (
        Annotated[
            float, Meta(description="Elongation at which the slide comes to the end of its travel; 20 stands for more.")
        ]
        | UnsetType
    ) = UNSET


class LoopWheelPath(msgspec.Struct, frozen=True, kw_only=True):
    """The chain on one wheel."""

    centre: LoopPoint
    pitch_diameter: Quantity
    turns: Travel
    wrap: Quantity
    pitches_on_wheel: Annotated[float, Meta(description="Pitches of chain on the wheel: its teeth in mesh.")]
    speed_ratio: Annotated[float, Meta(description="Speed of the driver over speed of this wheel.")]


class LoopStrand(msgspec.Struct, frozen=True, kw_only=True):
    """A free strand between two wheels."""

    from_wheel: int
    to_wheel: int
    length: Quantity
    start: LoopPoint
    end: LoopPoint


class ChainLoop(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Length of the loop as given, the whole counts that fit it, and its path with the chosen one."""

    pitch: Quantity
    travel: Travel
    length_exact_pitches: Annotated[float, Meta(description="Taut, over the wheels as given; not rounded.")]
    pitch_count: int | UnsetType = UNSET
    chain_length: Quantity | UnsetType = UNSET
    choices: list[LoopChoice]
    least_clearance: Annotated[Quantity, Meta(description="Between parts that must not touch, strands taut.")]
    wheels: list[LoopWheelPath]
    strands: list[LoopStrand]


class ChainLoopAnswer(Answer[ChainLoop], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/chain-loops`."""


def present_loop(result: ChainLoopResult, upwards: int, presenter: Presenter) -> ChainLoop:
    """The result of a calculation in the units and with the y axis that the caller asked for."""

    def point(x_mm: float, y_mm: float) -> LoopPoint:
        # A coordinate of zero comes out of sines as 1e-14: rounded to a millionth of a micrometre.
        return LoopPoint(x=presenter.length(round(x_mm, 9)), y=presenter.length(round(upwards * y_mm, 9)))

    chosen = result.chosen
    contacts = zip(result.wheels, result.loop.contacts, result.speed_ratios, strict=True)
    count = len(result.wheels)
    return ChainLoop(
        pitch=presenter.length(result.pitch_mm),
        travel=result.travel,
        length_exact_pitches=presenter.number(result.length_exact_pitches),
        pitch_count=chosen.pitch_count if chosen else UNSET,
        chain_length=presenter.length(chosen.pitch_count * result.pitch_mm) if chosen else UNSET,
        choices=[_choice(fit, presenter) for fit in result.fits],
        least_clearance=presenter.length(result.least_clearance_mm),
        wheels=[
            LoopWheelPath(
                centre=point(wheel.x_mm, wheel.y_mm),
                pitch_diameter=presenter.length(2 * wheel.pitch_radius_mm),
                turns=contact.turns,
                wrap=presenter.quantity(contact.wrap_deg, "angle"),
                pitches_on_wheel=presenter.number(contact.pitches),
                speed_ratio=presenter.number(abs(ratio)),
            )
            for wheel, contact, ratio in contacts
        ],
        strands=[
            LoopStrand(
                from_wheel=index,
                to_wheel=(index + 1) % count,
                length=presenter.length(span.length_mm),
                start=point(span.start_x_mm, span.start_y_mm),
                end=point(span.end_x_mm, span.end_y_mm),
            )
            for index, span in enumerate(result.loop.spans)
        ],
    )


def _choice(fit: LoopFit, presenter: Presenter) -> LoopChoice:
    reserve = fit.wear_reserve_percent
    return LoopChoice(
        pitch_count=fit.pitch_count,
        offset_link=fit.offset_link,
        slack_length=presenter.length(fit.slack_length_mm),
        slide_travel=presenter.known_length(fit.travel_mm),
        wear_reserve_percent=presenter.known_number(reserve),
    )
