"""Power rating of one strand of roller chain: what the two editions of the American ratings have in common.

The *older* edition is that of ANSI B29.1 from 1975 on, the *newer* one stands in current reproductions of the
ratings. They differ in the link-plate line and in where galling ends the table; each has its own module, and one
answer never takes from both. All relations take and return inch, horsepower and r/min, as their sources print them,
and hold for two wheels on parallel horizontal shafts with the recommended lubrication.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive

TEETH_MIN = 11
"""Fewest teeth of the small wheel in the printed ratings of both editions (mott-6 Tables 7-14 to 7-16; handbook
table of No. 40 of the older edition)."""

TEETH_MAX = 45
"""Most teeth of the small wheel in the printed ratings (mott-6 Tables 7-14 to 7-16; table of No. 25)."""

SPEED_MIN_RPM = 1.0
"""Slowest small wheel that is rated here, a tenth of the first printed column (10 r/min, No. 41); a rule of this
project, as slower drives are a matter of static strength."""

SPEED_MAX_RPM = 10_000.0
"""Fastest small wheel that is rated here; a rule of this project, as no printed column read goes beyond 4500 r/min."""

ChainClass = Literal["bush", "roller", "lightweight"]
"""Rating class: No. 25 and 35 without rollers; No. 40 to 240; No. 41."""

Governing = Literal["link_plate", "impact"]


class RatingConstants(NamedTuple):
    """Printed range of pitch and constants of one rating class."""

    pitch_min_in: float
    pitch_max_in: float
    plate_older: float
    impact: float


_PLATE_OLDER = 0.004
"""Of every chain but No. 41 (shigley-9 eq. (17-32), secondary)."""

_CLASSES: dict[str, RatingConstants] = {
    "bush": RatingConstants(0.25, 0.375, _PLATE_OLDER, 29.0),
    "roller": RatingConstants(0.5, 3.0, _PLATE_OLDER, 17.0),
    "lightweight": RatingConstants(0.5, 0.5, 0.0022, 3.4),
}


class StrandRating(NamedTuple):
    """Rating of one strand and the failure that sets it."""

    power_hp: float
    governed_by: Governing


def rating_constants(chain_class: ChainClass, pitch_in: float, teeth: int, speed_rpm: float) -> RatingConstants:
    """The constants of a class, after one cheap look at the point; the slow part only words the refusal."""
    constants = _CLASSES[chain_class]
    if (
        TEETH_MIN <= teeth <= TEETH_MAX
        and SPEED_MIN_RPM <= speed_rpm <= SPEED_MAX_RPM
        and constants.pitch_min_in <= pitch_in <= constants.pitch_max_in
    ):
        return constants
    positive("pitch_in", pitch_in)
    positive("speed_rpm", speed_rpm)
    check_rated_teeth(teeth)
    _check_rated_speed(speed_rpm)
    raise OutOfRange(
        Issue(
            "pitch_in",
            "pitch_beyond_table",
            f"{pitch_in:g} in is no pitch of rating class {chain_class}: its ratings run from "
            f"{constants.pitch_min_in:g} to {constants.pitch_max_in:g} in.",
            constants.pitch_min_in if pitch_in < constants.pitch_min_in else constants.pitch_max_in,
            pitch_in,
        )
    )


def _check_rated_speed(speed_rpm: float) -> None:
    if speed_rpm < SPEED_MIN_RPM:
        raise OutOfRange(
            Issue(
                "speed_rpm",
                "speed_below_table",
                f"{speed_rpm:g} r/min is slower than any rating.",
                SPEED_MIN_RPM,
                speed_rpm,
                "Compare the pull with the breaking load instead.",
            )
        )
    if speed_rpm > SPEED_MAX_RPM:
        raise OutOfRange(
            Issue(
                "speed_rpm",
                "speed_beyond_table",
                f"{speed_rpm:g} r/min is faster than any rating.",
                SPEED_MAX_RPM,
                speed_rpm,
                "Check the unit of the speed; r/min is meant.",
            )
        )


def check_rated_teeth(teeth: int) -> None:
    """Refuse a small wheel outside the printed ratings.

    Raises:
        OutOfRange: codes ``teeth_few`` and ``teeth_many``.
    """
    if teeth < TEETH_MIN:
        raise OutOfRange(
            Issue(
                "teeth",
                "teeth_few",
                f"{teeth} teeth on the small wheel: the printed ratings begin at {TEETH_MIN}.",
                TEETH_MIN,
                teeth,
                f"Take {TEETH_MIN} teeth or more, 17 or more for a smooth drive.",
                "mott-6",
            )
        )
    if teeth > TEETH_MAX:
        raise OutOfRange(
            Issue(
                "teeth",
                "teeth_many",
                f"{teeth} teeth on the small wheel: the printed ratings end at {TEETH_MAX}.",
                TEETH_MAX,
                teeth,
                f"The rating of {TEETH_MAX} teeth at the same speed is a lower bound for more teeth.",
                "mott-6",
            )
        )


@equation(
    "roller_rating.impact_power",
    symbol="H2",
    unit="hp",
    sources=(
        Source("shigley-9", "eq. (17-33)", "secondary"),
        Source("mott-6", "right of the peak in Tables 7-14, 7-15 and 7-16", "derived"),
        Source("trade-no-25-ratings", "right of the peak", "derived"),
        Source("machinerys-27", "right of the peak in the table of No. 41", "derived"),
    ),
)
def impact_power(*, chain_class: ChainClass, pitch_in: float, teeth: int, speed_rpm: float) -> float:
    """Power at which the impact of rollers or bushings on the teeth limits one strand, both editions.

    Equation:
        H2 = 1000 K N^1.5 P^0.8 / n^1.5; K = 29 for No. 25 and 35, 17 for No. 40 to 240, 3.4 for No. 41

    Args:
        chain_class: Rating class, [text]: ``bush`` No. 25 and 35, ``roller`` No. 40 to 240, ``lightweight`` No. 41.
        pitch_in: Pitch P, [in]; 0.25 to 0.375 for ``bush``, 0.5 to 3 for ``roller``, 0.5 for ``lightweight``.
        teeth: Teeth N of the small wheel, [-]; 11 to 45.
        speed_rpm: Speed n of the small wheel, [r/min]; 1 to 10 000.

    Returns:
        Power H2 of one strand, [hp].

    Raises:
        OutOfRange: a value lies outside the printed ratings.

    Validity: 11 to 45 teeth. Each constant is confirmed by a printed table: 17 by No. 40, 60 and 80, 29 by No. 25,
        3.4 by No. 41.
    Deviations: quotations that give 29 for No. 25 to 240 and 17 for No. 41 contradict every printed table.
    Sources: shigley-9 eq. (17-33) [secondary]; mott-6 [derived]; trade-no-25-ratings [derived];
        machinerys-27 [derived].

    Examples:
        >>> impact_power(chain_class="roller", pitch_in=1.0, teeth=17, speed_rpm=1000)
        37.68
    """
    constants = rating_constants(chain_class, pitch_in, teeth, speed_rpm)
    power: float = 1000.0 * constants.impact * (teeth / speed_rpm) ** 1.5 * pitch_in**0.8
    return power
