"""The standard tooth form of ASME B29.1: every constant of its drawing, in inches and degrees.

Each tooth gap is drawn about point a, the centre of the seating curve. Line XY is the tangent to the pitch direction at
a (perpendicular to the radius of the wheel). From the bottom of the gap outwards come the seating curve of radius R
about a, up to x; the working curve of radius E about c, up to y; the straight yz; and the topping curve of radius F
about b, up to the outside diameter. The form is symmetrical about the radius through a.
"""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt, tan
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, NoSolution
from service.core.sprocket import check_form, check_roller


class AsmeToothForm(NamedTuple):
    """Constants of the form, named as on the drawing of the standard, with the letters of the print in brackets.

    Attributes:
        seating_diameter_in: Seating-curve diameter (Ds).
        seating_radius_in: Seating-curve radius (R).
        angle_a_deg: Angle of line cx below XY (A).
        angle_b_deg: Angle of the working curve at c (B).
        centre_a_c_in: Distance from a to c (ac).
        offset_m_in: Distance of c from the radius through a (M).
        offset_t_in: Height of c above XY (T).
        working_radius_in: Working-curve radius (E, cx).
        chord_xy_in: Chord of the working curve (xy).
        straight_yz_in: Length of the straight part (yz).
        centre_a_b_in: Distance from a to b (ab).
        offset_w_in: Distance of b from the radius through a (W).
        offset_v_in: Depth of b below XY (V).
        topping_radius_in: Topping-curve radius (F).
        height_h_in: Height of a pointed tooth above the line through neighbouring points a (H).
        offset_s_in: Distance of the point of a pointed tooth from the radius through a (S).
        pressure_angle_max_deg: Pressure angle of a new chain (xab).
        pressure_angle_min_deg: Least pressure angle (xab - B).
        pressure_angle_mean_deg: Mean pressure angle.
    """

    seating_diameter_in: float
    seating_radius_in: float
    angle_a_deg: float
    angle_b_deg: float
    centre_a_c_in: float
    offset_m_in: float
    offset_t_in: float
    working_radius_in: float
    chord_xy_in: float
    straight_yz_in: float
    centre_a_b_in: float
    offset_w_in: float
    offset_v_in: float
    topping_radius_in: float
    height_h_in: float
    offset_s_in: float
    pressure_angle_max_deg: float
    pressure_angle_min_deg: float
    pressure_angle_mean_deg: float


@equation(
    "sprocket_asme.tooth_form",
    symbol="tooth form",
    unit="object",
    sources=(
        Source("aca-tooth-form-sheet", "whole sheet", "secondary"),
        Source("jis-tooth-form-pages", "S tooth form, metric print", "secondary"),
        Source("asme-b29.1-2011", "standard tooth form", "secondary"),
    ),
)
def tooth_form(*, pitch_in: float, roller_diameter_in: float, teeth: int) -> AsmeToothForm:
    """Constants of the standard tooth form.

    Equation:
        Ds = 1.005 Dr + 0.003;  R = Ds/2;  A = 35° + 60°/N;  B = 18° - 56°/N;  ac = 0.8 Dr
        M = 0.8 Dr cos A;  T = 0.8 Dr sin A;  E = 1.3025 Dr + 0.0015
        xy = (2.605 Dr + 0.003) sin(9° - 28°/N);  yz = Dr [1.4 sin(17° - 64°/N) - 0.8 sin(18° - 56°/N)]
        ab = 1.4 Dr;  W = 1.4 Dr cos(180°/N);  V = 1.4 Dr sin(180°/N)
        F = Dr [0.8 cos(18° - 56°/N) + 1.4 cos(17° - 64°/N) - 1.3025] - 0.0015
        H = sqrt(F^2 - (1.4 Dr - P/2)^2);  S = P/2 cos(180°/N) + H sin(180°/N)
        pressure angle: 35° - 120°/N new chain, 17° - 64°/N least, 26° - 92°/N mean

    Args:
        pitch_in: Chain pitch P, [in].
        roller_diameter_in: Nominal roller diameter Dr, of a chain without rollers the bush diameter, [in]; Dr < P.
        teeth: Number of teeth N, [-]; 5 <= N <= 1000.

    Returns:
        The constants, [in] and [°].

    Raises:
        OutOfRange: a dimension is not positive, or no usable form exists with so few teeth.
        Inconsistent: the roller is not smaller than the pitch.
        NoSolution: the roller is so small or so large for the pitch that the flanks of a tooth do not meet.

    Validity: none stated; below 5 teeth the straight part has a negative length.
    Deviations: many copies print Ds = 1.0005 Dr + 0.003. Only 1.005 makes Ds twice the printed R = 0.5025 Dr + 0.0015,
        makes E - ac equal to R, without which the working curve would not touch the seating curve, and gives the 0.6311
        of the worked sheet. The print takes P/2 in H and S where the distance of neighbouring points a, longer than P
        in the ratio (PD + Ds - Dr)/PD, would be exact; the metric print has the exact one. The difference in H
        is below 0.0016 P for 9 teeth and more; the constants follow the inch print and the contour is drawn exactly.
    Sources: aca-tooth-form-sheet [secondary]; jis-tooth-form-pages S tooth form [secondary]; asme-b29.1-2011
        standard tooth form [secondary].

    Examples:
        >>> form = tooth_form(pitch_in=1, roller_diameter_in=0.625, teeth=28)
        >>> form.topping_radius_in, form.offset_s_in
        (0.5114, 0.5358)
    """
    check_roller(pitch_in, roller_diameter_in, "in")
    check_form(teeth)
    Dr, N, half_tooth = roller_diameter_in, teeth, pi / teeth
    A, B, least = radians(35 + 60 / N), radians(18 - 56 / N), radians(17 - 64 / N)
    F = Dr * (0.8 * cos(B) + 1.4 * cos(least) - 1.3025) - 0.0015
    H = _height(pitch_in, Dr, F)
    return AsmeToothForm(
        seating_diameter_in=1.005 * Dr + 0.003,
        seating_radius_in=0.5025 * Dr + 0.0015,
        angle_a_deg=35 + 60 / N,
        angle_b_deg=18 - 56 / N,
        centre_a_c_in=0.8 * Dr,
        offset_m_in=0.8 * Dr * cos(A),
        offset_t_in=0.8 * Dr * sin(A),
        working_radius_in=1.3025 * Dr + 0.0015,
        chord_xy_in=(2.605 * Dr + 0.003) * sin(B / 2),
        straight_yz_in=Dr * (1.4 * sin(least) - 0.8 * sin(B)),
        centre_a_b_in=1.4 * Dr,
        offset_w_in=1.4 * Dr * cos(half_tooth),
        offset_v_in=1.4 * Dr * sin(half_tooth),
        topping_radius_in=F,
        height_h_in=H,
        offset_s_in=pitch_in / 2 * cos(half_tooth) + H * sin(half_tooth),
        pressure_angle_max_deg=35 - 120 / N,
        pressure_angle_min_deg=17 - 64 / N,
        pressure_angle_mean_deg=26 - 92 / N,
    )


def _height(pitch_in: float, roller_diameter_in: float, topping_radius_in: float) -> float:
    """Constant H, where the topping curve meets the centre line of the tooth."""
    offset = 1.4 * roller_diameter_in - pitch_in / 2
    if not topping_radius_in > abs(offset):
        message = (
            f"A roller of {roller_diameter_in:g} in at a pitch of {pitch_in:g} in leaves no tooth of the standard form."
        )
        raise NoSolution(
            Issue(
                "roller_diameter_in",
                "geometry_impossible",
                message,
                None,
                roller_diameter_in,
                "Standard chains have rollers of 0.52 to 0.63 of the pitch.",
            )
        )
    return sqrt((topping_radius_in - offset) * (topping_radius_in + offset))


@equation(
    "sprocket_asme.outside_diameter_to_point",
    symbol="OD to a point",
    unit="in",
    sources=(
        Source("jis-tooth-form-pages", "outside diameter when the tooth is pointed", "secondary"),
        Source("machinerys-27", "roller chain, outside diameter when tooth is pointed", "memory"),
    ),
)
def outside_diameter_to_point(*, pitch_in: float, roller_diameter_in: float, teeth: int) -> float:
    """Outside diameter at which the topping curves of a tooth meet in a point, the largest that the form can have.

    Equation:
        P cot(180°/N) + cos(180°/N) (Ds - Dr) + 2 H

    Args:
        pitch_in: Chain pitch P, [in].
        roller_diameter_in: Nominal roller diameter Dr, of a chain without rollers the bush diameter, [in]; Dr < P.
        teeth: Number of teeth N, [-]; 5 <= N <= 1000.

    Returns:
        Outside diameter to a point, [in].

    Raises:
        OutOfRange: a dimension is not positive, or no usable form exists with so few teeth.
        Inconsistent: the roller is not smaller than the pitch.
        NoSolution: the flanks of a tooth do not meet.

    Validity: none stated.
    Deviations: the metric print writes the first two terms as pa cot(180°/N) with pa = p [1 + (Ds - d1)/d], which is
        the same, and has the exact H (see ``sprocket_asme.tooth_form``).
    Sources: jis-tooth-form-pages outside diameter when the tooth is pointed [secondary]; machinerys-27 [memory].

    Examples:
        >>> outside_diameter_to_point(pitch_in=1, roller_diameter_in=0.625, teeth=28)
        9.5767
    """
    form = tooth_form(pitch_in=pitch_in, roller_diameter_in=roller_diameter_in, teeth=teeth)
    half_tooth = pi / teeth
    clearance = form.seating_diameter_in - roller_diameter_in
    return pitch_in / tan(half_tooth) + cos(half_tooth) * clearance + 2 * form.height_h_in
