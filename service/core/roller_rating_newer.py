"""Ratings of one strand of roller chain in the newer edition: No. 25 to 80, without No. 41."""

from __future__ import annotations

from service.core.equations import Source, equation
from service.core.errors import Issue, NotInReference, OutOfRange
from service.core.roller_rating import ChainClass, StrandRating, check_rated_teeth, impact_power, rating_constants

NEWER_PITCH_MAX_IN = 1.0
"""Largest pitch whose newer ratings were read (No. 80, mott-6 Table 7-16); beyond it the fit has no evidence."""


@equation(
    "roller_rating.link_plate_power_newer",
    symbol="H1",
    unit="hp",
    sources=(
        Source("mott-6", "fit to Tables 7-14, 7-15 and 7-16", "derived"),
        Source("trade-no-25-ratings", "fit to the whole table", "derived"),
    ),
)
def link_plate_power_newer(*, chain_class: ChainClass, pitch_in: float, teeth: int, speed_rpm: float) -> float:
    """Power at which the link plates of one strand reach their fatigue limit, newer edition.

    Equation:
        H1 = 0.0044 N n^0.96 P^(3 - 0.07 P)

    Args:
        chain_class: Rating class, [text]: ``bush`` No. 25 and 35, ``roller`` No. 40 to 80.
        pitch_in: Pitch P, [in]; 0.25 to 0.375 for ``bush``, 0.5 to 1 for ``roller``.
        teeth: Teeth N of the small wheel, [-]; 11 to 45.
        speed_rpm: Speed n of the small wheel, [r/min]; 1 to 10 000.

    Returns:
        Power H1 of one strand, [hp].

    Raises:
        OutOfRange: a value lies outside the printed ratings.
        NotInReference: No. 41, or a pitch above 1 in.

    Validity: 11 to 45 teeth, pitches 0.25 to 1 in. The equation text was not found; this fit reproduces 226 of 228
        entries read of No. 40, 60 and 80 (11, 17, 25 and 45 teeth) and all 312 entries read of No. 25 (11 to 45
        teeth, 50 to 4500 r/min) to the printed hundredth. The two others look misprinted: No. 60, 45 teeth,
        600 r/min reads 38.39 for 39.39; No. 80, 11 teeth, 2000 r/min reads 6.83 for 6.93.
    Deviations: a fit of this project in place of the equation, which no source read prints.
    Sources: mott-6 Tables 7-14 to 7-16 [derived]; trade-no-25-ratings [derived].

    Examples:
        >>> link_plate_power_newer(chain_class="roller", pitch_in=0.75, teeth=17, speed_rpm=600)
        14.88
    """
    rating_constants(chain_class, pitch_in, teeth, speed_rpm)
    check_newer_edition(chain_class, pitch_in)
    power: float = 0.0044 * teeth * speed_rpm**0.96 * pitch_in ** (3.0 - 0.07 * pitch_in)
    return power


@equation(
    "roller_rating.table_end_newer",
    symbol="V",
    unit="ft/min",
    sources=(Source("mott-6", "fit to the zero ratings of Tables 7-14, 7-15 and 7-16", "derived"),),
)
def table_end_newer(*, teeth: int) -> float:
    """Chain speed at which the newer tables end because pins and bushings would gall.

    Equation:
        V = 2413 N^0.23

    Args:
        teeth: Teeth N of the small wheel, [-]; 11 to 45.

    Returns:
        Chain speed V, [ft/min], the same for all pitches read.

    Raises:
        OutOfRange: the tooth count lies outside the printed ratings.

    Validity: a coarse fit to the zero ratings at 19, 24, 32 and 35 teeth (4750, 5000, 5333 and 5469 ft/min), within
        half a per cent of each; for the end of the table only, never for a rating near it.
    Deviations: a fit of this project; the galling relation of the newer edition was not found.
    Sources: mott-6 Tables 7-14 to 7-16 [derived].

    Examples:
        >>> table_end_newer(teeth=19)
        4750.
    """
    check_rated_teeth(teeth)
    speed: float = 2413.0 * teeth**0.23
    return speed


def check_table_end_newer(pitch_in: float, teeth: int, speed_rpm: float) -> None:
    """Refuse a chain that runs faster than the newer tables reach; the end itself is allowed.

    Raises:
        OutOfRange: code ``speed_beyond_table``.
    """
    chain_speed = pitch_in * teeth * speed_rpm / 12.0
    end = table_end_newer(teeth=teeth)
    if chain_speed > end:
        raise OutOfRange(
            Issue(
                "speed_rpm",
                "speed_beyond_table",
                f"{speed_rpm:g} r/min runs the chain at {chain_speed:.0f} ft/min; the ratings of {teeth} teeth end "
                f"at about {end:.0f} ft/min.",
                12.0 * end / (pitch_in * teeth),
                speed_rpm,
                "Take a smaller pitch in more strands, or fewer teeth.",
                "mott-6",
            )
        )


@equation(
    "roller_rating.strand_rating_newer",
    symbol="H",
    unit="object",
    sources=(
        Source("mott-6", "Tables 7-14, 7-15 and 7-16", "derived"),
        Source("trade-no-25-ratings", "whole table", "derived"),
    ),
)
def strand_rating_newer(*, chain_class: ChainClass, pitch_in: float, teeth: int, speed_rpm: float) -> StrandRating:
    """Rating of one strand in the newer edition and what governs it.

    Equation:
        H = min(H1, H2) where N P n/12 does not exceed the end of the table

    Args:
        chain_class: Rating class, [text]: ``bush`` No. 25 and 35, ``roller`` No. 40 to 80.
        pitch_in: Pitch P, [in].
        teeth: Teeth N of the small wheel, [-]; 11 to 45.
        speed_rpm: Speed n of the small wheel, [r/min]; 1 to 10 000.

    Returns:
        Power in hp and the governing failure, [object].

    Raises:
        OutOfRange: a value lies outside the printed ratings, or the chain runs faster than they reach.
        NotInReference: No. 41, or a pitch above 1 in.

    Validity: as the two lines and ``roller_rating.table_end_newer``.
    Deviations: a fit of this project in place of the link-plate equation, which no source read prints.
    Sources: mott-6 Tables 7-14 to 7-16 [derived]; trade-no-25-ratings [derived].

    Examples:
        >>> strand_rating_newer(chain_class="roller", pitch_in=0.75, teeth=17, speed_rpm=1200).power_hp
        22.77
    """
    plate = link_plate_power_newer(chain_class=chain_class, pitch_in=pitch_in, teeth=teeth, speed_rpm=speed_rpm)
    check_table_end_newer(pitch_in, teeth, speed_rpm)
    impact = impact_power(chain_class=chain_class, pitch_in=pitch_in, teeth=teeth, speed_rpm=speed_rpm)
    return StrandRating(plate, "link_plate") if plate <= impact else StrandRating(impact, "impact")


def check_newer_edition(chain_class: ChainClass, pitch_in: float) -> None:
    """Refuse a chain for which the newer ratings were not read.

    Raises:
        NotInReference: code ``rating_not_available``.
    """
    if chain_class != "lightweight" and pitch_in <= NEWER_PITCH_MAX_IN:
        return
    what = "No. 41" if chain_class == "lightweight" else f"pitches above {NEWER_PITCH_MAX_IN:g} in"
    raise NotInReference(
        Issue(
            "edition",
            "rating_not_available",
            f"The newer ratings of {what} are not in the reference; nothing is extrapolated.",
            None if chain_class == "lightweight" else NEWER_PITCH_MAX_IN,
            pitch_in,
            "Ask for the older edition, which covers this size.",
            "mott-6",
        )
    )
