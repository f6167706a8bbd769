"""Ratings of one strand of roller chain in the older edition (ANSI B29.1 from 1975 on): No. 25 to 240 and No. 41."""

from __future__ import annotations

from math import exp, inf, log, log10

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import not_negative, positive
from service.core.roller_rating import ChainClass, StrandRating, check_rated_teeth, impact_power, rating_constants

_LN_82_5, _LN_7_95, _LN_1_0278, _LN_1_323 = log(82.5), log(7.95), log(1.0278), log(1.323)


@equation(
    "roller_rating.link_plate_power_older",
    symbol="H1",
    unit="hp",
    sources=(
        Source("shigley-9", "eq. (17-32)", "secondary"),
        Source("machinerys-27", "roller chain ratings, tables of No. 40 and No. 41", "secondary"),
    ),
)
def link_plate_power_older(*, chain_class: ChainClass, pitch_in: float, teeth: int, speed_rpm: float) -> float:
    """Power at which the link plates of one strand reach their fatigue limit, older edition.

    Equation:
        H1 = K N^1.08 n^0.9 P^(3 - 0.07 P); K = 0.004, for No. 41 K = 0.0022

    Args:
        chain_class: Rating class, [text]: ``bush`` No. 25 and 35, ``roller`` No. 40 to 240, ``lightweight`` No. 41.
        pitch_in: Pitch P, [in]; 0.25 to 0.375 for ``bush``, 0.5 to 3 for ``roller``, 0.5 for ``lightweight``.
        teeth: Teeth N of the small wheel, [-]; 11 to 45.
        speed_rpm: Speed n of the small wheel, [r/min]; 1 to 10 000.

    Returns:
        Power H1 of one strand, [hp].

    Raises:
        OutOfRange: a value lies outside the printed ratings.

    Validity: 11 to 45 teeth; reproduces all 104 entries read of the table of No. 40 (11 to 18 teeth, 50 to
        1800 r/min) and, with K = 0.0022, 155 of 156 entries of the table of No. 41 (11 to 22 teeth). The
        equation is quoted for all sizes; tables of other sizes of this edition were not read.
    Deviations: none.
    Sources: shigley-9 eq. (17-32) [secondary]; machinerys-27 [secondary].

    Examples:
        >>> link_plate_power_older(chain_class="roller", pitch_in=0.5, teeth=17, speed_rpm=1000)
        5.48
    """
    constants = rating_constants(chain_class, pitch_in, teeth, speed_rpm)
    power: float = constants.plate_older * teeth**1.08 * speed_rpm**0.9 * pitch_in ** (3.0 - 0.07 * pitch_in)
    return power


@equation(
    "roller_rating.strand_rating_older",
    symbol="H",
    unit="object",
    sources=(
        Source("shigley-9", "section 17-5, the smaller of eqs. (17-32) and (17-33)", "secondary"),
        Source("machinerys-27", "roller chain ratings, tables of No. 40 and No. 41", "secondary"),
    ),
)
def strand_rating_older(*, chain_class: ChainClass, pitch_in: float, teeth: int, speed_rpm: float) -> StrandRating:
    """Rating of one strand in the older edition and what governs it.

    Equation:
        H = min(H1, H2)

    Args:
        chain_class: Rating class, [text]: ``bush`` No. 25 and 35, ``roller`` No. 40 to 240, ``lightweight`` No. 41.
        pitch_in: Pitch P, [in].
        teeth: Teeth N of the small wheel, [-]; 11 to 45.
        speed_rpm: Speed n of the small wheel, [r/min]; 1 to 10 000.

    Returns:
        Power in hp and the governing failure, [object].

    Raises:
        OutOfRange: a value lies outside the printed ratings.

    Validity: as the two lines. Where galling ends the printed table is not computed here; see
        ``roller_rating.galling_speed_older``.
    Deviations: none.
    Sources: shigley-9 section 17-5 [secondary]; machinerys-27 [secondary].

    Examples:
        >>> strand_rating_older(chain_class="roller", pitch_in=0.5, teeth=17, speed_rpm=1000).power_hp
        5.48
    """
    plate = link_plate_power_older(chain_class=chain_class, pitch_in=pitch_in, teeth=teeth, speed_rpm=speed_rpm)
    impact = impact_power(chain_class=chain_class, pitch_in=pitch_in, teeth=teeth, speed_rpm=speed_rpm)
    return StrandRating(plate, "link_plate") if plate <= impact else StrandRating(impact, "impact")


@equation(
    "roller_rating.galling_speed_older",
    symbol="n",
    unit="r/min",
    sources=(Source("shigley-9", "eq. (17-40)", "memory"),),
)
def galling_speed_older(*, pitch_in: float, teeth: int, tension_lbf: float) -> float:
    """Speed above which pins and bushings of the older edition may gall, as recalled.

    Equation:
        n = 1000 [82.5 / (7.95^P 1.0278^N 1.323^(F/1000))]^(1/(1.59 log10 P + 1.873))

    Args:
        pitch_in: Pitch P, [in]; 0.25 to 3.
        teeth: Teeth N of the small wheel, [-]; 11 to 45.
        tension_lbf: Chain tension F of one strand, [lbf].

    Returns:
        Limiting speed n of the small wheel, [r/min].

    Raises:
        OutOfRange: a value lies outside the printed ratings.

    Validity: none stated. For the older edition only: the newer tables end elsewhere (at 17 teeth of No. 40 a fifth
        earlier). Good for a warning or a refusal, not for a rating.
    Deviations: recalled, not read. The power form of the same relation is recalled with equal constants, once with
        the teeth of the small and once of the large wheel; as the printed ratings know the small wheel only, the
        small wheel is taken.
    Sources: shigley-9 eq. (17-40) [memory].

    Examples:
        >>> galling_speed_older(pitch_in=1.0, teeth=17, tension_lbf=0.0) < 3000
        True
    """
    if not (0.25 <= pitch_in <= 3.0 and 0.0 <= tension_lbf < inf):
        positive("pitch_in", pitch_in)
        not_negative("tension_lbf", tension_lbf)
        raise OutOfRange(Issue("pitch_in", "pitch_beyond_table", f"{pitch_in:g} in is no rated pitch.", 3.0, pitch_in))
    check_rated_teeth(teeth)
    # By logarithms, so that a tension far beyond any chain brings the speed to nothing and not out of the numbers.
    inner = _LN_82_5 - pitch_in * _LN_7_95 - teeth * _LN_1_0278 - tension_lbf / 1000.0 * _LN_1_323
    return 1000.0 * exp(inner / (1.59 * log10(pitch_in) + 1.873))
