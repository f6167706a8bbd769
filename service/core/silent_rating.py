"""Selection of inverted-tooth (silent) chain: number, guide and width rules, rating by width from a table passed in."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, NotInReference
from service.core.guards import at_least, positive
from service.core.interpolation import between_points

if TYPE_CHECKING:
    from collections.abc import Sequence

CENTRE_GUIDE_FROM_PITCHES = 2
"""From this width on a chain of 3/8 in pitch or more has centre guides (ASME B29.2M, 1.2(a): equal to, or more)."""
GREATEST_WIDTH_PITCHES = 16
"""Wider chain of 3/8 in pitch or more is not recommended (ASME B29.2M, 1.2(a): exceeding)."""
GREATEST_WIDTH_SMALL_PITCHES = 8
"""Width limit read as that of the 3/16 in chain (ASME B29.2M, 1.2(c), which names no class)."""
SMALL_PITCH_IN = 0.1875

_LARGE = re.compile(r"SC(3|4|5|6|8)([0-9]{2})|SC(10|12|16)([0-9]{2})|SC(3|4|5|6|8)([0-9]{3})|SC(10|12|16)([0-9]{3})")
_SMALL = re.compile(r"SC03([0-9]{2})")

Guide = Literal["centre", "side_or_centre"]


class SilentSize(NamedTuple):
    """What the number of a silent chain says."""

    pitch_in: float
    width_in: float


class RatingPoint(NamedTuple):
    """One printed rating: power per inch of width at a tooth count and speed of the small sprocket."""

    teeth: int
    speed_rpm: float
    power_hp_per_in: float


@equation(
    "silent_rating.size_of_number",
    symbol="P, W",
    unit="object",
    sources=(Source("asme-b29.2m-2007", "para. 1.3", "published"),),
)
def size_of_number(*, number: str) -> SilentSize:
    """Pitch and nominal width that the number of a silent chain states.

    Equation:
        SC p ww: P = p/8, W = ww/4;  SC 03 ww: P = 3/16, W = ww/32

    Args:
        number: Number such as SC302, SC1012 or SC0309, [text].

    Returns:
        Pitch and nominal width in inches, [object].

    Raises:
        NotInReference: code ``designation_unknown``; the text is no number of the standard.

    Validity: standard pitches only, which makes the reading unambiguous: 3, 4, 5, 6, 8, 10, 12 and 16 eighths.
    Deviations: none.
    Sources: asme-b29.2m-2007 para. 1.3 [published].

    Examples:
        >>> size_of_number(number="SC1012")
        SilentSize(pitch_in=1.25, width_in=3.0)
    """
    if (small := _SMALL.fullmatch(number)) and int(small[1]) > 0:
        return SilentSize(pitch_in=SMALL_PITCH_IN, width_in=int(small[1]) / 32)
    if large := _LARGE.fullmatch(number):
        pitch, width = (int(group) for group in large.groups() if group is not None)
        if width > 0:
            return SilentSize(pitch_in=pitch / 8, width_in=width / 4)
    raise NotInReference(
        Issue("number", "designation_unknown", f"{number[:60]!r} is no number of a silent chain.", None, number[:60])
    )


@equation(
    "silent_rating.guide_rule",
    symbol="guide",
    unit="text",
    sources=(Source("asme-b29.2m-2007", "para. 1.2(a) and (b)", "published"),),
)
def guide_rule(*, pitch_in: float, width_in: float) -> Guide:
    """Guide that the width of a silent chain calls for.

    Equation:
        W >= 2 P: centre;  W < 2 P and every chain of 3/16 in pitch: side or centre

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        width_in: Nominal width W, [in]; W > 0.

    Returns:
        ``centre`` or ``side_or_centre``, [text].

    Raises:
        OutOfRange: a value is not a finite number above zero.

    Validity: the size table decides between side and centre.
    Deviations: none.
    Sources: asme-b29.2m-2007 para. 1.2 [published].

    Examples:
        >>> guide_rule(pitch_in=0.375, width_in=0.75)
        'centre'
    """
    positive("pitch_in", pitch_in)
    positive("width_in", width_in)
    if pitch_in <= SMALL_PITCH_IN or width_in < CENTRE_GUIDE_FROM_PITCHES * pitch_in:
        return "side_or_centre"
    return "centre"


@equation(
    "silent_rating.greatest_width",
    symbol="W",
    unit="in",
    sources=(Source("asme-b29.2m-2007", "para. 1.2(a) and (c)", "published"),),
)
def greatest_width(*, pitch_in: float) -> float:
    """Greatest recommended width of a silent chain.

    Equation:
        P >= 3/8 in: W = 16 P;  P = 3/16 in: W = 8 P

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.

    Returns:
        Width W, [in]; the width itself is allowed.

    Raises:
        OutOfRange: the pitch is not a finite number above zero.

    Validity: none stated.
    Deviations: paragraph (c) prints eight pitches for no named class; read as the 3/16 in class, since (a) gives
        sixteen to the larger one.
    Sources: asme-b29.2m-2007 para. 1.2 [published].

    Examples:
        >>> greatest_width(pitch_in=0.5)
        8.0
    """
    positive("pitch_in", pitch_in)
    return (GREATEST_WIDTH_SMALL_PITCHES if pitch_in <= SMALL_PITCH_IN else GREATEST_WIDTH_PITCHES) * pitch_in


@equation(
    "silent_rating.rating_per_width",
    symbol="H",
    unit="hp/in",
    sources=(Source("plane-geometry", "straight lines between printed ratings", "derived"),),
)
def rating_per_width(*, teeth: int, speed_rpm: float, points: Sequence[RatingPoint]) -> float:
    """Rating per inch of width between the printed points of one pitch.

    Equation:
        linear in speed at the tabulated tooth counts on either side, then linear in teeth

    Args:
        teeth: Teeth of the small sprocket, [-].
        speed_rpm: Speed of the small sprocket, [r/min].
        points: Printed ratings of one pitch and one generation of the table, [object].

    Returns:
        Rating H, [hp/in].

    Raises:
        OutOfRange: code ``outside_table``; more or fewer teeth, or a higher or lower speed, than the table lists.

    Validity: inside the table; its highest speed is the speed limit of the pitch.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> rating_per_width(teeth=22, speed_rpm=150, points=[
        ...     RatingPoint(teeth=21, speed_rpm=100, power_hp_per_in=1.0),
        ...     RatingPoint(teeth=21, speed_rpm=200, power_hp_per_in=2.0),
        ...     RatingPoint(teeth=23, speed_rpm=100, power_hp_per_in=1.4),
        ...     RatingPoint(teeth=23, speed_rpm=200, power_hp_per_in=2.2)])
        1.65
    """
    listed = sorted({point.teeth for point in points})
    needed = [count for count in (_last_up_to(listed, teeth), _first_from(listed, teeth)) if count is not None]
    if teeth in listed:
        needed = [teeth]
    elif len(needed) < 2:
        between_points(at=teeth, points=[(count, 0.0) for count in listed], field="teeth")
    by_teeth = [(float(count), _at_speed(count, speed_rpm, points)) for count in needed]
    return between_points(at=teeth, points=by_teeth, field="teeth")


def _last_up_to(listed: Sequence[int], teeth: int) -> int | None:
    return max((count for count in listed if count <= teeth), default=None)


def _first_from(listed: Sequence[int], teeth: int) -> int | None:
    return min((count for count in listed if count >= teeth), default=None)


def _at_speed(teeth: int, speed_rpm: float, points: Sequence[RatingPoint]) -> float:
    line = sorted((point.speed_rpm, point.power_hp_per_in) for point in points if point.teeth == teeth)
    return between_points(at=speed_rpm, points=line, field="speed_rpm")


@equation(
    "silent_rating.design_power",
    symbol="Hd",
    unit="hp",
    sources=(Source("machinerys-27", "silent chain, design horsepower", "memory"),),
)
def design_power(*, power_hp: float, service_factor: float) -> float:
    """Power that the width of a silent chain is chosen on.

    Equation:
        Hd = H Ks

    Args:
        power_hp: Power to transmit H, [hp]; H > 0.
        service_factor: Service factor Ks of the set that belongs to the rating table, [-]; Ks >= 1.

    Returns:
        Design power Hd, [hp].

    Raises:
        OutOfRange: the power is not above zero or the factor is below one.

    Validity: none stated.
    Deviations: none.
    Sources: machinerys-27 silent chain [memory].

    Examples:
        >>> design_power(power_hp=20, service_factor=1.3)
        26.0
    """
    positive("power_hp", power_hp)
    at_least("service_factor", service_factor, 1, code="factor_below_minimum")
    return power_hp * service_factor


@equation(
    "silent_rating.required_width",
    symbol="W",
    unit="in",
    sources=(Source("machinerys-27", "silent chain, rating per inch of width", "memory"),),
)
def required_width(*, design_power_hp: float, rating_hp_per_in: float) -> float:
    """Width of chain that a design power needs, before the next standard width is taken.

    Equation:
        W = Hd/H

    Args:
        design_power_hp: Design power Hd, [hp]; Hd > 0.
        rating_hp_per_in: Rating per inch of width H, [hp/in]; H > 0.

    Returns:
        Width W, [in].

    Raises:
        OutOfRange: a value is not a finite number above zero.

    Validity: the rating grows evenly with width; there is no strand factor.
    Deviations: none.
    Sources: machinerys-27 silent chain [memory].

    Examples:
        >>> required_width(design_power_hp=26, rating_hp_per_in=6.5)
        4.0
    """
    positive("design_power_hp", design_power_hp)
    positive("rating_hp_per_in", rating_hp_per_in)
    return design_power_hp / rating_hp_per_in
