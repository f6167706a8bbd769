"""What lies on a conveyor or hangs in an elevator: load per length from throughput, section, pieces and buckets."""

from __future__ import annotations

from math import isclose, pi, sqrt

from service.core.conversions import FREE_FALL_M_S2
from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue
from service.core.guards import at_least, not_negative, positive


@equation(
    "conveyor_capacity.load_from_throughput",
    symbol="q",
    unit="kg/m",
    sources=(
        Source("plane-geometry", "mass passing a point over the way of the chain", "derived"),
        Source("ray-2008", "chain conveyors, p. 94, with 16.66 for metres a minute", "published"),
    ),
)
def load_from_throughput(*, throughput_t_h: float, chain_speed_m_s: float) -> float:
    """Material per length of conveyor from throughput and chain speed.

    Equation:
        q = Q/(3.6 v)

    Args:
        throughput_t_h: Throughput Q in tonnes, [t/h]; Q >= 0.
        chain_speed_m_s: Chain speed v, [m/s]; v > 0.

    Returns:
        Load per length q, [kg/m].

    Raises:
        OutOfRange: a value is not finite, the speed is not above zero, or the throughput is negative.

    Validity: material that moves with the chain; in a trough where it lags the chain the load is higher.
    Deviations: the print rounds the constant for metres a minute to 16.66.
    Sources: plane-geometry [derived]; ray-2008 p. 94 [published].

    Examples:
        >>> load_from_throughput(throughput_t_h=20, chain_speed_m_s=0.08)
        69.44
    """
    not_negative("throughput_t_h", throughput_t_h)
    positive("chain_speed_m_s", chain_speed_m_s)
    return throughput_t_h / (3.6 * chain_speed_m_s)


@equation(
    "conveyor_capacity.weight_on_span",
    symbol="P",
    unit="lb",
    sources=(Source("hicks-mec", "section 10, first procedure, step 1", "published"),),
)
def weight_on_span(*, throughput_lb_h: float, span_ft: float, speed_ft_min: float) -> float:
    """Weight of material that rests on a span of a conveyor.

    Equation:
        P = K C/(60 S)

    Args:
        throughput_lb_h: Throughput K, [lb/h]; K >= 0.
        span_ft: Length of conveyor C, [ft]; C > 0.
        speed_ft_min: Speed S, [ft/min]; S > 0.

    Returns:
        Weight P, [lb].

    Raises:
        OutOfRange: a value is not finite or not above its lower limit.

    Validity: none stated.
    Deviations: none.
    Sources: hicks-mec section 10 [published].

    Examples:
        >>> weight_on_span(throughput_lb_h=100_000, span_ft=32, speed_ft_min=150)
        355.6
    """
    not_negative("throughput_lb_h", throughput_lb_h)
    positive("span_ft", span_ft)
    positive("speed_ft_min", speed_ft_min)
    return throughput_lb_h * span_ft / (60 * speed_ft_min)


@equation(
    "conveyor_capacity.load_from_pieces",
    symbol="q",
    unit="kg/m",
    sources=(Source("trade-conveyor-method", "load of solid goods: mass over loading interval", "secondary"),),
)
def load_from_pieces(*, piece_mass_kg: float, spacing_m: float) -> float:
    """Load per length of goods, buckets or flights that follow each other at a fixed spacing.

    Equation:
        q = m/t

    Args:
        piece_mass_kg: Mass of one piece m, [kg]; m >= 0.
        spacing_m: Spacing of the pieces t, [m]; t > 0.

    Returns:
        Load per length q, [kg/m].

    Raises:
        OutOfRange: a value is not finite or not above its lower limit.

    Validity: many pieces on a run; a single heavy piece is a local load besides.
    Deviations: none.
    Sources: trade-conveyor-method load of solid goods [secondary].

    Examples:
        >>> load_from_pieces(piece_mass_kg=40, spacing_m=1.6)
        25.0
    """
    not_negative("piece_mass_kg", piece_mass_kg)
    positive("spacing_m", spacing_m)
    return piece_mass_kg / spacing_m


@equation(
    "conveyor_capacity.load_from_section",
    symbol="q",
    unit="kg/m",
    sources=(Source("plane-geometry", "volume of a filled trough per length", "derived"),),
)
def load_from_section(*, width_m: float, depth_m: float, fill: float, density_kg_m3: float) -> float:
    """Load per length of a trough, pan or flight space of rectangular section.

    Equation:
        q = b h phi rho

    Args:
        width_m: Width of the section b, [m]; b > 0.
        depth_m: Depth of the section h, [m]; h > 0.
        fill: Filled share of the section phi, [-]; phi > 0.
        density_kg_m3: Bulk density rho, [kg/m3]; rho > 0.

    Returns:
        Load per length q, [kg/m].

    Raises:
        OutOfRange: a value is not a finite number above zero.

    Validity: none stated; a heaped load has a fill above one.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> load_from_section(width_m=0.5, depth_m=0.2, fill=0.5, density_kg_m3=800)
        40.0
    """
    positive("width_m", width_m)
    positive("depth_m", depth_m)
    positive("fill", fill)
    positive("density_kg_m3", density_kg_m3)
    return width_m * depth_m * fill * density_kg_m3


@equation(
    "conveyor_capacity.moving_mass",
    symbol="w",
    unit="kg/m",
    sources=(Source("trade-engineering-factors", "formula list, weight of conveyor parts per foot", "secondary"),),
)
def moving_mass(
    *, chain_count: int, chain_mass_kg_m: float, attached_mass_kg: float, attachment_spacing_m: float
) -> float:
    """Mass per length of the moving parts: chains, and pans, flights or buckets at their spacing.

    Equation:
        w = n w_chain + m/t

    Args:
        chain_count: Parallel chains n, [-]; n >= 1.
        chain_mass_kg_m: Mass of one chain, [kg/m]; w_chain > 0.
        attached_mass_kg: Mass of one pan, flight or bucket with its fixings m, [kg]; m >= 0.
        attachment_spacing_m: Their spacing t, [m]; t > 0.

    Returns:
        Moving mass per length w, [kg/m].

    Raises:
        OutOfRange: a value is not finite or not above its lower limit.

    Validity: none stated.
    Deviations: none.
    Sources: trade-engineering-factors formula list [secondary].

    Examples:
        >>> moving_mass(chain_count=2, chain_mass_kg_m=6.5, attached_mass_kg=12, attachment_spacing_m=0.6)
        33.0
    """
    at_least("chain_count", chain_count, 1, code="must_be_positive")
    positive("chain_mass_kg_m", chain_mass_kg_m)
    return chain_count * chain_mass_kg_m + load_from_pieces(
        piece_mass_kg=attached_mass_kg, spacing_m=attachment_spacing_m
    )


@equation(
    "conveyor_capacity.pitches_between_attachments",
    symbol="k",
    unit="pitches",
    sources=(Source("plane-geometry", "attachments sit on whole links", "derived"),),
)
def pitches_between_attachments(*, spacing_mm: float, pitch_mm: float) -> int:
    """Whole number of pitches between flights, buckets or pans.

    Equation:
        k = t/p, whole

    Args:
        spacing_mm: Spacing of the attachments t, [mm]; t > 0.
        pitch_mm: Chain pitch p, [mm]; p > 0.

    Returns:
        Pitches between attachments k, [pitches].

    Raises:
        OutOfRange: a value is not a finite number above zero.
        Inconsistent: code ``spacing_invalid``; the spacing is no whole number of pitches.

    Validity: to one part in ten thousand, so that a spacing converted from inches passes; chain of alternate
        links with attachments on one kind of link needs an even number besides.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pitches_between_attachments(spacing_mm=609.6, pitch_mm=152.4)
        4
    """
    positive("spacing_mm", spacing_mm)
    positive("pitch_mm", pitch_mm)
    ratio = spacing_mm / pitch_mm
    whole = int(ratio + 0.5)
    if whole >= 1 and isclose(ratio, whole, rel_tol=1e-4):
        return whole
    low = max(int(ratio), 1)
    message = f"A spacing of {spacing_mm:g} mm is {ratio:.3f} pitches; attachments and rollers sit on whole links."
    hint = f"Take {low * pitch_mm:g} mm or {(low + 1) * pitch_mm:g} mm."
    raise Inconsistent(Issue("spacing_mm", "spacing_invalid", message, None, spacing_mm, hint))


@equation(
    "conveyor_capacity.bucket_load",
    symbol="q",
    unit="kg/m",
    sources=(Source("plane-geometry", "contents of the buckets on one metre", "derived"),),
)
def bucket_load(*, bucket_volume_l: float, spacing_m: float, fill: float, density_kg_m3: float) -> float:
    """Material per length of the loaded strand of a bucket elevator.

    Equation:
        q = V phi rho/(1000 t)

    Args:
        bucket_volume_l: Volume of one bucket V, [L]; V > 0.
        spacing_m: Spacing of the buckets t, [m]; t > 0.
        fill: Filled share phi, [-]; phi > 0.
        density_kg_m3: Bulk density rho, [kg/m3]; rho > 0.

    Returns:
        Load per length q, [kg/m].

    Raises:
        OutOfRange: a value is not a finite number above zero.

    Validity: none stated.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> bucket_load(bucket_volume_l=5, spacing_m=0.25, fill=0.75, density_kg_m3=800)
        12.0
    """
    for name, value in (("bucket_volume_l", bucket_volume_l), ("spacing_m", spacing_m), ("fill", fill)):
        positive(name, value)
    positive("density_kg_m3", density_kg_m3)
    return bucket_volume_l * fill * density_kg_m3 / (1000 * spacing_m)


@equation(
    "conveyor_capacity.bucket_throughput",
    symbol="Q",
    unit="t/h",
    sources=(
        Source("plane-geometry", "buckets passing in an hour", "derived"),
        Source("meade-1921", "p. 310, capacity of bucket conveyors", "published"),
    ),
)
def bucket_throughput(
    *, bucket_volume_l: float, spacing_m: float, fill: float, density_kg_m3: float, chain_speed_m_s: float
) -> float:
    """Throughput of a bucket elevator.

    Equation:
        Q = 3.6 v q = 3.6 v V phi rho/(1000 t)

    Args:
        bucket_volume_l: Volume of one bucket V, [L]; V > 0.
        spacing_m: Spacing of the buckets t, [m]; t > 0.
        fill: Filled share phi, [-]; phi > 0.
        density_kg_m3: Bulk density rho, [kg/m3]; rho > 0.
        chain_speed_m_s: Chain speed v, [m/s]; v > 0.

    Returns:
        Throughput Q in tonnes, [t/h].

    Raises:
        OutOfRange: a value is not a finite number above zero.

    Validity: none stated.
    Deviations: the print fixes the fill inside its constant 96 768, which answers to two thirds.
    Sources: plane-geometry [derived]; meade-1921 p. 310 [published].

    Examples:
        >>> bucket_throughput(bucket_volume_l=5, spacing_m=0.25, fill=1, density_kg_m3=1000, chain_speed_m_s=0.25)
        18.0
    """
    positive("chain_speed_m_s", chain_speed_m_s)
    load = bucket_load(bucket_volume_l=bucket_volume_l, spacing_m=spacing_m, fill=fill, density_kg_m3=density_kg_m3)
    return 3.6 * chain_speed_m_s * load


@equation(
    "conveyor_capacity.discharge_speed",
    symbol="n",
    unit="r/min",
    sources=(
        Source("plane-geometry", "centrifugal force equal to weight at the top", "derived"),
        Source("course-agricultural-elevators", "bucket elevator, N = 54.19/R^0.5 with R in feet", "secondary"),
    ),
)
def discharge_speed(*, path_radius_mm: float) -> float:
    """Head-wheel speed at which centrifugal force equals weight at the top of a bucket elevator.

    Equation:
        n = (30/pi) sqrt(g/R)

    Args:
        path_radius_mm: Radius R of the path of the bucket's contents at the head, [mm]; R > 0.

    Returns:
        Head-wheel speed n, [r/min].

    Raises:
        OutOfRange: the radius is not a finite number above zero.

    Validity: a mark for centrifugal discharge; gravity discharge runs well below it.
    Deviations: none.
    Sources: plane-geometry [derived]; course-agricultural-elevators N = 54.19/R^0.5 [secondary].

    Examples:
        >>> discharge_speed(path_radius_mm=304.8)
        54.2
    """
    positive("path_radius_mm", path_radius_mm)
    return 30 / pi * sqrt(FREE_FALL_M_S2 / (path_radius_mm / 1000))


@equation(
    "conveyor_capacity.digging_pull",
    symbol="Q",
    unit="lbf",
    sources=(Source("trade-engineering-factors", "formula list, chain pull from digging in the boot", "secondary"),),
)
def digging_pull(*, load_lb_ft: float, tail_pitch_diameter_in: float, digging_factor: float) -> float:
    """Pull that the buckets need to fill themselves in the boot.

    Equation:
        Q = M D f

    Args:
        load_lb_ft: Material on the loaded strand M, [lb/ft]; M >= 0.
        tail_pitch_diameter_in: Pitch diameter of the tail wheel D, [in]; D > 0.
        digging_factor: Digging factor f of the kind of discharge, [-]; f >= 0.

    Returns:
        Digging pull Q, [lbf].

    Raises:
        OutOfRange: a value is not finite or not above its lower limit.

    Validity: none stated.
    Deviations: the print does not say the unit of D; inches, as the same list gives every diameter in inches.
    Sources: trade-engineering-factors formula list [secondary].

    Examples:
        >>> digging_pull(load_lb_ft=20, tail_pitch_diameter_in=24, digging_factor=0.5)
        240.0
    """
    not_negative("load_lb_ft", load_lb_ft)
    positive("tail_pitch_diameter_in", tail_pitch_diameter_in)
    not_negative("digging_factor", digging_factor)
    return load_lb_ft * tail_pitch_diameter_in * digging_factor
