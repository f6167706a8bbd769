"""Way of lubrication that a chain speed asks for."""

from __future__ import annotations

from typing import Literal

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue
from service.core.guards import not_negative, positive

LubricationType = Literal["manual_or_drip", "bath_or_disc", "forced_stream"]


@equation(
    "lubrication.type_by_speed",
    symbol="lubrication",
    unit="text",
    sources=(Source("machinerys-27", "roller chain ratings, lubrication types A, B and C", "secondary"),),
)
def lubrication_type(
    *, chain_speed_ft_min: float, manual_or_drip_limit_ft_min: float, bath_or_disc_limit_ft_min: float
) -> LubricationType:
    """Way of lubrication for a chain speed between the two limits of a chain size.

    Equation:
        manual or drip while V <= V1; bath or disc while V <= V2; forced stream above

    Args:
        chain_speed_ft_min: Chain speed V, [ft/min]; V >= 0.
        manual_or_drip_limit_ft_min: Highest speed V1 of manual or drip lubrication, [ft/min].
        bath_or_disc_limit_ft_min: Highest speed V2 of bath or disc lubrication, [ft/min]; V2 > V1.

    Returns:
        ``manual_or_drip``, ``bath_or_disc`` or ``forced_stream``, [text].

    Raises:
        OutOfRange: a value is not positive.
        Inconsistent: the limits are exchanged.

    Validity: the limits belong to one chain size and one edition of the ratings.
    Deviations: none.
    Sources: machinerys-27 [secondary].

    Examples:
        >>> lubrication_type(chain_speed_ft_min=638, manual_or_drip_limit_ft_min=300, bath_or_disc_limit_ft_min=2300)
        'bath_or_disc'
    """
    not_negative("chain_speed_ft_min", chain_speed_ft_min)
    positive("manual_or_drip_limit_ft_min", manual_or_drip_limit_ft_min)
    if not bath_or_disc_limit_ft_min > manual_or_drip_limit_ft_min:
        raise Inconsistent(
            Issue(
                "bath_or_disc_limit_ft_min",
                "range_reversed",
                f"Bath lubrication up to {bath_or_disc_limit_ft_min:g} ft/min cannot end before drip lubrication at "
                f"{manual_or_drip_limit_ft_min:g} ft/min.",
                manual_or_drip_limit_ft_min,
                bath_or_disc_limit_ft_min,
            )
        )
    if chain_speed_ft_min <= manual_or_drip_limit_ft_min:
        return "manual_or_drip"
    return "bath_or_disc" if chain_speed_ft_min <= bath_or_disc_limit_ft_min else "forced_stream"
