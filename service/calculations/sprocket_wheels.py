"""One wheel by one standard: diameters, tolerances, widths, constants of the tooth form and the contour of a gap."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.core import sprocket, sprocket_asme, sprocket_asme_width, sprocket_iso, sprocket_iso_rim
from service.core.conversions import MM_PER_INCH
from service.core.errors import NotInReference
from service.core.plane_curves import Piece, scaled
from service.core.sprocket_asme_form import AsmeToothForm, outside_diameter_to_point, tooth_form
from service.core.sprocket_iso import IsoGapForm
from service.core.tooth_form import asme_gap, iso_gap, iso_pointed_diameter
from service.reference.records import Record
from service.reference.standard_tolerances import tolerance_row

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.loader import Table
    from service.reference.standard_tolerances import ToleranceRow

GapForm = Literal["minimum", "maximum"]
ToleranceGrade = Literal["precision", "commercial"]


class _Column(Record, frozen=True):
    """One figure of a tooth form: its name without unit, its symbol, and what makes it mm or degrees."""

    name: str
    symbol: str
    factor: float
    kind: Literal["length", "angle"]

    @classmethod
    def of(cls, field: str, symbol: str) -> _Column:
        """The column of a field of the form."""
        name, unit = field.rsplit("_", 1)
        return cls(name, symbol, MM_PER_INCH if unit == "in" else 1.0, "angle" if unit == "deg" else "length")


_ASME_COLUMNS = tuple(
    map(
        _Column.of,
        AsmeToothForm._fields,
        ("Ds", "R", "A", "B", "ac", "M", "T", "E", "xy", "yz", "ab", "W", "V", "F", "H", "S", "xab", "xab - B", "mean"),
    )
)
_ISO_COLUMNS = tuple(map(_Column.of, IsoGapForm._fields, ("ri", "alpha", "re")))


class Blank(Record, frozen=True, kw_only=True):
    """What a wheel is made for: the chain's figures in mm, None where the chain has none, and the teeth."""

    pitch_mm: float
    roller_diameter_mm: float
    inner_width_mm: float | None
    transverse_pitch_mm: float | None
    inner_plate_height_mm: float | None
    light_series: bool
    teeth: int
    strand_count: int
    tip_diameter_mm: float | None


class FormConstant(Record, frozen=True, kw_only=True):
    """One constant of a tooth form; ``kind`` is ``length`` (mm) or ``angle`` (°)."""

    name: str
    symbol: str
    value: float
    kind: Literal["length", "angle"]


class Width(Record, frozen=True, kw_only=True):
    """Tooth width, its minus tolerance, and the width over all rows of teeth."""

    tooth_width_mm: float
    minus_tolerance_mm: float | None
    overall_width_mm: float


class Rim(Record, frozen=True, kw_only=True):
    """Sides of the teeth and run-out, which ISO 606 adds."""

    side_radius_min_mm: float
    side_relief_least_mm: float | None
    side_relief_greatest_mm: float | None
    radial_run_out_mm: float
    axial_run_out_mm: float


class Wheel(Record, frozen=True, kw_only=True):
    """A wheel; the minus tolerance holds for root diameter, caliper diameter and, by ISO 606, the size over pins.

    It is None where the table of tolerances ends.
    """

    pitch_diameter_mm: float
    tip_diameter_mm: float
    tip_diameter_min_mm: float | None
    tip_diameter_max_mm: float
    root_diameter_mm: float
    caliper_diameter_mm: float
    minus_tolerance_mm: float | None
    over_pins_mm: float
    hub_diameter_max_mm: float | None
    width: Width | None
    rim: Rim | None
    constants: tuple[FormConstant, ...]
    gap: tuple[Piece, ...]


def asme_wheel(blank: Blank, grade: ToleranceGrade, trace: Trace) -> Wheel:
    """A wheel with the standard tooth form of ASME B29.1."""
    pitch_in, roller_in, teeth = blank.pitch_mm / MM_PER_INCH, blank.roller_diameter_mm / MM_PER_INCH, blank.teeth
    form = trace.take(tooth_form, pitch_in=pitch_in, roller_diameter_in=roller_in, teeth=teeth)
    outside_in = trace.take(sprocket_asme.outside_diameter, pitch_in=pitch_in, teeth=teeth)
    if blank.tip_diameter_mm is not None:
        outside_in = blank.tip_diameter_mm / MM_PER_INCH
    gap = trace.take(
        asme_gap, pitch_in=pitch_in, roller_diameter_in=roller_in, teeth=teeth, outside_diameter_in=outside_in
    )
    tolerance = {
        "precision": sprocket_asme.caliper_tolerance_precision,
        "commercial": sprocket_asme.caliper_tolerance_commercial,
    }[grade]
    round_sizes = [
        trace.take(relation, pitch_in=pitch_in, roller_diameter_in=roller_in, teeth=teeth)
        for relation in (
            outside_diameter_to_point,
            sprocket_asme.bottom_diameter,
            sprocket_asme.caliper_diameter,
            sprocket_asme.over_pins,
        )
    ]
    pointed_in, bottom_in, caliper_in, over_pins_in = round_sizes
    hub_in = trace.take(sprocket_asme.hub_diameter_max, pitch_in=pitch_in, teeth=teeth)
    return Wheel(
        pitch_diameter_mm=trace.take(sprocket_asme.pitch_diameter, pitch_in=pitch_in, teeth=teeth) * MM_PER_INCH,
        tip_diameter_mm=outside_in * MM_PER_INCH,
        tip_diameter_min_mm=None,
        tip_diameter_max_mm=pointed_in * MM_PER_INCH,
        root_diameter_mm=bottom_in * MM_PER_INCH,
        caliper_diameter_mm=caliper_in * MM_PER_INCH,
        minus_tolerance_mm=trace.take(tolerance, pitch_in=pitch_in, teeth=teeth) * MM_PER_INCH,
        over_pins_mm=over_pins_in * MM_PER_INCH,
        hub_diameter_max_mm=hub_in * MM_PER_INCH if hub_in > 0 else None,
        width=_asme_width(blank, trace),
        rim=None,
        constants=_constants(form, _ASME_COLUMNS),
        gap=tuple(scaled(piece, MM_PER_INCH) for piece in gap),
    )


def iso_wheel(blank: Blank, gap_form: GapForm, tolerances: Table[ToleranceRow], trace: Trace) -> Wheel:
    """A wheel with one of the limiting gap forms of ISO 606."""
    pitch_mm, roller_mm, teeth = blank.pitch_mm, blank.roller_diameter_mm, blank.teeth
    relation = sprocket_iso.minimum_gap_form if gap_form == "minimum" else sprocket_iso.maximum_gap_form
    form = trace.take(relation, roller_diameter_mm=roller_mm, teeth=teeth)
    root, caliper, over_pins, least, greatest = (
        trace.take(size, pitch_mm=pitch_mm, roller_diameter_mm=roller_mm, teeth=teeth)
        for size in (
            sprocket_iso.root_diameter,
            sprocket_iso.caliper_diameter,
            sprocket_iso.over_pins,
            sprocket_iso.tip_diameter_min,
            sprocket_iso.tip_diameter_max,
        )
    )
    tip, gap = _iso_gap(blank, form, least, greatest, trace)
    shroud = None
    if blank.inner_plate_height_mm is not None:
        shroud = trace.take(
            sprocket_iso_rim.shroud_diameter_max,
            pitch_mm=pitch_mm,
            inner_plate_height_mm=blank.inner_plate_height_mm,
            teeth=teeth,
        )
    return Wheel(
        pitch_diameter_mm=trace.take(sprocket.pitch_diameter, pitch_mm=pitch_mm, teeth=teeth),
        tip_diameter_mm=tip,
        tip_diameter_min_mm=least,
        tip_diameter_max_mm=greatest,
        root_diameter_mm=root,
        caliper_diameter_mm=caliper,
        minus_tolerance_mm=_iso_root_tolerance(root, tolerances, trace),
        over_pins_mm=over_pins,
        hub_diameter_max_mm=shroud if shroud is not None and shroud > 0 else None,
        width=_iso_width(blank, tolerances, trace),
        rim=_iso_rim(blank, root, trace),
        constants=_constants(form, _ISO_COLUMNS),
        gap=gap,
    )


def _constants(form: AsmeToothForm | IsoGapForm, columns: tuple[_Column, ...]) -> tuple[FormConstant, ...]:
    """The constants in mm and degrees, in the order of the print."""
    return tuple(
        FormConstant(name=column.name, symbol=column.symbol, value=value * column.factor, kind=column.kind)
        for value, column in zip(form, columns, strict=True)
    )


def _iso_gap(
    blank: Blank, form: IsoGapForm, least: float, greatest: float, trace: Trace
) -> tuple[float, tuple[Piece, ...]]:
    """Tip diameter and contour; where no tip was given, midway between the least and the greatest that can be had."""
    flank = {
        "pitch_mm": blank.pitch_mm,
        "roller_diameter_mm": blank.roller_diameter_mm,
        "seating_radius_mm": form.seating_radius_mm,
        "seating_angle_deg": form.seating_angle_deg,
        "flank_radius_mm": form.flank_radius_mm,
    }
    tip = blank.tip_diameter_mm
    if tip is None:
        pointed = trace.take(iso_pointed_diameter, teeth=blank.teeth, **flank)
        tip = (least + min(greatest, pointed)) / 2
        trace.assume("tip_diameter_mm", tip, "default", "midway between the least and the greatest of this gap form")
    return tip, trace.take(iso_gap, teeth=blank.teeth, tip_diameter_mm=tip, **flank)


def _iso_root_tolerance(root_mm: float, tolerances: Table[ToleranceRow], trace: Trace) -> float | None:
    if root_mm <= sprocket_iso_rim.TOLERANCE_END_MM:
        return trace.take(sprocket_iso_rim.root_diameter_tolerance, root_diameter_mm=root_mm)
    try:
        row = tolerance_row(tolerances, "teeth", root_mm)
    except NotInReference as missing:
        trace.warn("tolerance_not_tabulated", missing.issues[0].message, severity="info", field="teeth")
        return None
    trace.row(row, "h11 of the root diameter")
    return row.it11_mm


def _asme_width(blank: Blank, trace: Trace) -> Width | None:
    if blank.inner_width_mm is None:
        return None
    relation = sprocket_asme_width.face_width_four_more
    if blank.strand_count <= 3:
        relation = sprocket_asme_width.face_width_two_three
    if blank.strand_count == 1:
        relation = sprocket_asme_width.face_width_single
    tooth_in = overall_in = trace.take(relation, inner_width_in=blank.inner_width_mm / MM_PER_INCH)
    if blank.transverse_pitch_mm is not None and blank.strand_count > 1:
        overall_in = trace.take(
            sprocket_asme_width.overall_width,
            face_width_in=tooth_in,
            transverse_pitch_in=blank.transverse_pitch_mm / MM_PER_INCH,
            strand_count=blank.strand_count,
        )
    return Width(
        tooth_width_mm=tooth_in * MM_PER_INCH,
        minus_tolerance_mm=None,
        overall_width_mm=overall_in * MM_PER_INCH,
    )


def _iso_width(blank: Blank, tolerances: Table[ToleranceRow], trace: Trace) -> Width | None:
    if blank.inner_width_mm is None:
        return None
    one = blank.strand_count == 1
    relation = sprocket_iso_rim.tooth_width_single if one else sprocket_iso_rim.tooth_width_two_three
    tooth = overall = trace.take(relation, inner_width_mm=blank.inner_width_mm, pitch_mm=blank.pitch_mm)
    if blank.transverse_pitch_mm is not None and blank.strand_count > 1:
        overall = trace.take(
            sprocket_iso_rim.width_over_teeth,
            tooth_width_mm=tooth,
            transverse_pitch_mm=blank.transverse_pitch_mm,
            strand_count=blank.strand_count,
        )
    row = tolerance_row(tolerances, "own_chain.inner_width_mm", tooth)
    trace.row(row, "h14 of the tooth width")
    return Width(tooth_width_mm=tooth, minus_tolerance_mm=row.it14_mm, overall_width_mm=overall)


def _iso_rim(blank: Blank, root_mm: float, trace: Trace) -> Rim:
    relief = None
    if not blank.light_series:
        relief = trace.take(sprocket_iso_rim.side_relief, pitch_mm=blank.pitch_mm)
    return Rim(
        side_radius_min_mm=trace.take(sprocket_iso_rim.side_radius_min, pitch_mm=blank.pitch_mm),
        side_relief_least_mm=relief.least_mm if relief else None,
        side_relief_greatest_mm=relief.greatest_mm if relief else None,
        radial_run_out_mm=trace.take(sprocket_iso_rim.radial_run_out, root_diameter_mm=root_mm),
        axial_run_out_mm=trace.take(sprocket_iso_rim.axial_run_out, root_diameter_mm=root_mm),
    )
