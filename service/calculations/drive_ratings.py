"""Ratings of a chain laid ready for a search: on one wheel at one turn a minute, and where they end without load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.core.roller_rating import SPEED_MAX_RPM, impact_power
from service.core.roller_rating_newer import link_plate_power_newer, table_end_newer
from service.core.roller_rating_older import galling_speed_older, link_plate_power_older
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_tables import Edition, RatedChain

REFERENCE_TEETH = 17
"""Teeth of the small wheel of a base rating."""


class BaseRating(Record, frozen=True):
    """Both ratings of one strand at the reference teeth and one turn a minute.

    The search scales it by the powers of teeth and speed in the rating lines; what it chooses is rated by the lines.
    """

    plate_hp: float
    impact_hp: float


class RatingPowers(Record, frozen=True):
    """Powers of teeth and speed in the rating lines; impact falls with the power of speed by which it grows with teeth.

    ``tests/calculations`` hold what is scaled by them to the lines of the core.
    """

    plate_teeth: float
    plate_speed: float
    impact: float


RATING_POWERS: dict[Edition, RatingPowers] = {
    "older": RatingPowers(1.08, 0.9, 1.5),
    "newer": RatingPowers(1.0, 0.96, 1.5),
}


def base_rating(chain: RatedChain, edition: Edition) -> BaseRating:
    """The rating of a chain from which others are scaled."""
    plate = link_plate_power_older if edition == "older" else link_plate_power_newer
    kind, pitch_in = chain.chain_class, chain.pitch_in
    return BaseRating(
        plate_hp=plate(chain_class=kind, pitch_in=pitch_in, teeth=REFERENCE_TEETH, speed_rpm=1.0),
        impact_hp=impact_power(chain_class=kind, pitch_in=pitch_in, teeth=REFERENCE_TEETH, speed_rpm=1.0),
    )


def unloaded_end_rpm(chain: RatedChain, teeth: int, edition: Edition) -> float:
    """Speed at which the ratings of an edition end for a chain that carries nothing."""
    if edition == "newer":
        end = speed_at(table_end_newer(teeth=teeth), chain, teeth)
    else:
        end = galling_speed_older(pitch_in=chain.pitch_in, teeth=teeth, tension_lbf=0.0)
    return min(end, SPEED_MAX_RPM)


def speed_at(chain_speed_ft_min: float, chain: RatedChain, teeth: int) -> float:
    """Speed of a wheel, in r/min, at which the chain runs that fast."""
    return 12.0 * chain_speed_ft_min / (chain.pitch_in * teeth)
