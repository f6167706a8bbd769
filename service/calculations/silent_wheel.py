"""A wheel for silent chain: diameters, tooth faces, width, guide grooves and, with a root diameter, the contour."""

from __future__ import annotations

from math import isclose
from typing import TYPE_CHECKING, Literal

from service.calculations.measured_wheel import MeasuredWheel, warn_of_worn_pitch
from service.calculations.silent_measured import compare_over_pins
from service.calculations.trace import Outcome, Trace
from service.calculations.wheel_family import expect_wheel, wheel_statements
from service.calculations.wheel_openings import NOTHING_CUT, Metal, Openings, OpeningsInput, openings_within
from service.core import silent_sprocket, silent_sprocket_small, silent_tooth, sprocket
from service.core.conversions import MM_PER_INCH
from service.core.errors import Inconsistent, Issue, NotInReference, OutOfRange
from service.core.plane_curves import Piece, scaled
from service.reference.records import Record

if TYPE_CHECKING:
    from service.core.silent_sprocket import ToothCutting
    from service.core.silent_tooth import ToothTop
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.families import StatementRow
    from service.reference.silent_chain import FaceDimension

ChainForm = Literal["one_sided", "duplex", "reversible"]
GuideForm = Literal["side_guide", "centre_guide", "two_centre_guides"]

LEAST_PITCH_IN = 0.375
"""Least pitch of the larger class (asme-b29.2m-2007 para. 1.3, published)."""

_NO_CONTOUR = "The whole tooth gap of this wheel is not in the reference data, so no contour is given."
_ROOT_NEEDED = (
    "The root form of the gap was not found in print: send root_diameter, at or below the base of the working face, "
    "from the standard or the cutter's drawing."
)

_ROOT_FOR_WALLS = Issue(
    "root_diameter_mm",
    "field_required",
    "The walls of bore and holes are measured from the bottoms of the gaps, whose form is not published: send "
    "root_diameter.",
    None,
    None,
    "From the standard or the cutter's drawing.",
)


class SilentWheelInput(Record, frozen=True, kw_only=True):
    """A wheel for silent chain; ``teeth`` counts the pitches round it, whether or not every tooth is cut."""

    chain: ChainSize
    teeth: int
    chain_form: ChainForm = "one_sided"
    tooth_top: ToothTop = "square"
    cutting: ToothCutting = "hobbed"
    root_diameter_mm: float | None = None
    contour_required: bool = False
    gauge_pin_diameter_mm: float | None = None
    measured_over_pins_mm: float | None = None
    openings: OpeningsInput = NOTHING_CUT


class Toleranced(Record, frozen=True, kw_only=True):
    """A dimension with its tolerances, None where the standard's were not read."""

    value_mm: float
    lower_mm: float | None
    upper_mm: float | None


class WheelFace(Record, frozen=True, kw_only=True):
    """The face of the wheel by the guides of the chain; grooves by the distance of their middle from mid-face."""

    guide_form: GuideForm
    face_width: Toleranced | None
    groove_width: Toleranced | None
    groove_spacing: Toleranced | None
    groove_offsets_mm: tuple[float, ...]
    chamfer_depth: Toleranced | None
    corner_radius: Toleranced | None
    guide_offset_mm: float | None
    chain_width_max_mm: float | None


class SilentDiameters(Record, frozen=True, kw_only=True):
    """What the recalled formulas give for the class of the pitch; None where the class has no such formula."""

    outside_diameter_mm: float
    over_pins_mm: float
    pin_diameter_mm: float
    over_pins_minus_tolerance_mm: float | None
    base_diameter_mm: float | None
    angles: silent_tooth.ToothAngles | None
    groove_diameter_max_mm: float
    hub_diameter_max_mm: float
    radius_over_chain_mm: float | None


class SilentContour(Record, frozen=True, kw_only=True):
    """One gap and one tip, and the diameters between which it lies."""

    gap: tuple[Piece, ...]
    outside_diameter_mm: float
    root_diameter_mm: float
    over_roots_mm: float


class SilentWheelResult(Record, frozen=True, kw_only=True):
    """The wheel; ``diameters`` is None where only the pitch circle is known."""

    pitch_mm: float
    tooth_count: int
    pitch_diameter_mm: float
    diameters: SilentDiameters | None
    face: WheelFace | None
    contour: SilentContour | None
    measured: MeasuredWheel | None
    openings: Openings | None
    statements: tuple[StatementRow, ...]


def silent_wheel(
    given: SilentWheelInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[SilentWheelResult]:
    """Geometry of a wheel for silent chain.

    Raises:
        Inconsistent: the chain is not silent chain, or a reversible chain meets an odd number of pitches.
        OutOfRange: too few or too many teeth, a pitch between the classes, a root diameter that cuts the tooth, a
            gauge pin or an opening that does not suit.
        NotInReference: a contour was asked for that is not known.
        MoreNeeded: openings without the root diameter that their walls are measured from.
    """
    trace = Trace(keep_steps=keep_steps)
    expect_wheel(given.chain, "silent")
    pitch_mm = trace.figure(given.chain, "pitch")
    if given.chain_form == "reversible" and given.teeth % 2:
        message = (
            f"A reversible chain turns every second link over: {given.teeth} pitches do not close, an even number does."
        )
        raise Inconsistent(Issue("teeth", "teeth_must_be_even", message, None, given.teeth))
    gost = given.chain.row.series.endswith("_gost")
    if gost:
        _gost_range(given, reference, trace)
    if given.chain.row.series == "own":
        silent = (size for size in reference.chains.sizes if size.row.family == "silent")
        warn_of_worn_pitch(trace, {size.figure("pitch").value for size in silent}, pitch_mm, "own_chain.pitch_mm")
    diameters = None if gost else _diameters(given, pitch_mm / MM_PER_INCH, reference, trace)
    face = None if gost else _face(given.chain, reference, trace)
    contour = _contour(given, pitch_mm / MM_PER_INCH, diameters, trace)
    result = SilentWheelResult(
        pitch_mm=pitch_mm,
        tooth_count=given.teeth // 2 if given.chain_form == "reversible" else given.teeth,
        pitch_diameter_mm=trace.take(sprocket.pitch_diameter, pitch_mm=pitch_mm, teeth=given.teeth),
        diameters=diameters,
        face=face,
        contour=contour,
        measured=compare_over_pins(given, pitch_mm / MM_PER_INCH, diameters, trace),
        openings=openings_within(
            given.openings, _metal(given, face, diameters, contour), _ROOT_FOR_WALLS, reference.key_sizes, trace
        ),
        statements=wheel_statements("silent", reference, trace),
    )
    trace.caution("isolate_and_lock_off", "guard_the_drive")
    return Outcome(result, trace)


def _gost_range(given: SilentWheelInput, reference: Reference, trace: Trace) -> None:
    wanted = "one_sided" if given.chain_form == "one_sided" else "two_sided"
    for row in reference.silent.gost_wheels.where(chain_type=wanted):
        trace.row(row, "range of teeth and working face")
        if not row.teeth_from <= given.teeth <= row.teeth_to:
            message = f"{given.teeth} teeth lie outside {row.teeth_from} to {row.teeth_to}, which GOST 13576 tabulates."
            trace.warn("teeth_few" if given.teeth < row.teeth_from else "teeth_many", message, field="teeth")
        trace.assume("working_face_angle", row.working_face_angle_deg, "table", "degrees, both faces of a link")


def _diameters(given: SilentWheelInput, pitch_in: float, reference: Reference, trace: Trace) -> SilentDiameters:
    if isclose(pitch_in, silent_sprocket_small.PITCH_IN, rel_tol=1e-6):
        return _small(given.teeth, reference, trace)
    if pitch_in < LEAST_PITCH_IN * (1 - 1e-6):
        message = f"A pitch of {pitch_in:.5g} in lies between the classes: 3/16 in, and 3/8 in and larger."
        raise OutOfRange(Issue("own_chain.pitch_mm", "form_not_applicable", message, LEAST_PITCH_IN * MM_PER_INCH))
    outside = silent_sprocket.outside_diameter_round_teeth
    if given.tooth_top == "square":
        outside = silent_sprocket.outside_diameter_square_teeth
    outside_mm, over_pins_mm, base_mm, groove_mm, radius_mm = (
        trace.take(relation, pitch_in=pitch_in, teeth=given.teeth) * MM_PER_INCH
        for relation in (
            outside,
            silent_sprocket.measurement_over_pins,
            silent_tooth.base_diameter,
            silent_sprocket.guide_groove_diameter,
            silent_sprocket.radius_over_chain,
        )
    )
    hub_in = trace.take(silent_sprocket.hub_diameter, pitch_in=pitch_in, teeth=given.teeth, cutting=given.cutting)
    trace.warn(
        "tolerance_not_tabulated",
        "The tolerance over pins was read for 3/16 in pitch only; none is stated for this pitch.",
        severity="info",
        field="chain",
    )
    return SilentDiameters(
        outside_diameter_mm=outside_mm,
        over_pins_mm=over_pins_mm,
        pin_diameter_mm=silent_sprocket.PIN_RATIO * pitch_in * MM_PER_INCH,
        over_pins_minus_tolerance_mm=None,
        base_diameter_mm=base_mm,
        angles=trace.take(silent_tooth.angles, teeth=given.teeth),
        groove_diameter_max_mm=groove_mm,
        hub_diameter_max_mm=hub_in * MM_PER_INCH,
        radius_over_chain_mm=radius_mm,
    )


def _small(teeth: int, reference: Reference, trace: Trace) -> SilentDiameters:
    groove = trace.take(silent_sprocket_small.guide_groove_diameter, teeth=teeth) * MM_PER_INCH
    tolerance = next(
        row for row in reference.silent.over_pin_tolerances.rows if row.teeth_to is None or teeth <= row.teeth_to
    )
    trace.row(tolerance, "tolerance of the size over pins")
    return SilentDiameters(
        outside_diameter_mm=trace.take(silent_sprocket_small.outside_diameter, teeth=teeth) * MM_PER_INCH,
        over_pins_mm=trace.take(silent_sprocket_small.measurement_over_pins, teeth=teeth) * MM_PER_INCH,
        pin_diameter_mm=silent_sprocket_small.PIN_RATIO * silent_sprocket_small.PITCH_IN * MM_PER_INCH,
        over_pins_minus_tolerance_mm=-tolerance.lower_in * MM_PER_INCH,
        base_diameter_mm=None,
        angles=None,
        groove_diameter_max_mm=groove,
        hub_diameter_max_mm=groove,
        radius_over_chain_mm=None,
    )


def _face(chain: ChainSize, reference: Reference, trace: Trace) -> WheelFace | None:
    form: dict[str, GuideForm] = {
        "side_guide": "side_guide",
        "centre_guide": "centre_guide",
        "two_centre_guides": "two_centre_guides",
    }
    guide_form = form.get(chain.row.series)
    if guide_form is None:
        message = "The wheel face is not in the tables: the form of the guides of this chain is not settled there."
        trace.warn("width_not_computed", message, severity="info", field="chain")
        return None

    def figure(quantity: str) -> float | None:
        return None if chain.find(quantity) is None else trace.figure(chain, quantity)

    def toleranced(quantity: str, letter: FaceDimension) -> Toleranced | None:
        value = figure(quantity)
        if value is None:
            return None
        row = reference.silent.wheel_tolerances.where(dimension=letter)[0]
        trace.row(row, f"tolerance of {letter}")
        return Toleranced(value_mm=value, lower_mm=row.lower_in * MM_PER_INCH, upper_mm=row.upper_in * MM_PER_INCH)

    spacing = toleranced("wheel_guide_spacing", "D")
    offsets: tuple[float, ...] = ()
    if guide_form != "side_guide":
        offsets = (0.0,) if spacing is None else (-spacing.value_mm / 2, spacing.value_mm / 2)
        trace.assume("groove_position", "symmetrical about mid-face", "default", "the name of the guide form says so")
    return WheelFace(
        guide_form=guide_form,
        face_width=toleranced("wheel_face_width", "W" if guide_form == "side_guide" else "F"),
        groove_width=toleranced("guide_width", "C"),
        groove_spacing=spacing,
        groove_offsets_mm=offsets,
        chamfer_depth=toleranced("wheel_chamfer_depth", "H"),
        corner_radius=toleranced("wheel_corner_radius", "R"),
        guide_offset_mm=figure("wheel_guide_offset"),
        chain_width_max_mm=figure("overall_width"),
    )


def no_contour(given: SilentWheelInput, diameters: SilentDiameters | None) -> NotInReference:
    """The refusal of a contour that is not known, with what is needed for it."""
    field, needed = "chain", "The wheel needs the tooth form of its own standard or its maker's drawing."
    if _tooth_known(given, diameters):
        field, needed = "root_diameter_mm", _ROOT_NEEDED
    return NotInReference(Issue(field, "form_not_published", _NO_CONTOUR, None, None, needed))


def _tooth_known(given: SilentWheelInput, diameters: SilentDiameters | None) -> bool:
    """Whether working face and tip are known, so that a root diameter closes the contour."""
    return diameters is not None and diameters.base_diameter_mm is not None and given.chain_form != "reversible"


def _contour(
    given: SilentWheelInput, pitch_in: float, diameters: SilentDiameters | None, trace: Trace
) -> SilentContour | None:
    """The contour where it is known; where it is not, a refusal if it was asked for and a warning else."""
    root_mm = given.root_diameter_mm
    if diameters is None or root_mm is None or not _tooth_known(given, diameters):
        refusal = no_contour(given, diameters)
        if given.contour_required:
            raise refusal
        issue = refusal.issues[0]
        trace.warn("form_not_published", f"{issue.message} {issue.hint}", severity="info", field=issue.field)
        return None
    try:
        contour = trace.take(
            silent_tooth.gap,
            pitch_in=pitch_in,
            teeth=given.teeth,
            root_diameter_in=root_mm / MM_PER_INCH,
            tooth_top=given.tooth_top,
        )
    except OutOfRange as refusal:
        raise OutOfRange(*(_in_mm(issue, root_mm) for issue in refusal.issues)) from refusal
    trace.warn(
        "form_not_published",
        "Below the base of the working face the gap is closed along its faces to the root diameter that was sent; the "
        "standard's own root form was not found in print.",
        field="root_diameter_mm",
    )
    return SilentContour(
        gap=tuple(scaled(piece, MM_PER_INCH) for piece in contour),
        outside_diameter_mm=diameters.outside_diameter_mm,
        root_diameter_mm=root_mm,
        over_roots_mm=root_mm * sprocket.across_factor(given.teeth),
    )


def _in_mm(issue: Issue, root_mm: float) -> Issue:
    """A refused root diameter in the unit of the calculation."""
    if issue.code != "root_diameter_unsuitable" or issue.limit is None:
        return issue
    limit = issue.limit * MM_PER_INCH
    side = "up to" if root_mm > limit else "above"
    message = f"A root diameter of {root_mm:.5g} mm does not suit the tooth; it must lie {side} {limit:.5g} mm."
    return issue._replace(field="root_diameter_mm", message=message, limit=limit, received=root_mm)


def _metal(
    given: SilentWheelInput, face: WheelFace | None, diameters: SilentDiameters | None, contour: SilentContour | None
) -> Metal | None:
    """What openings stay inside of: the roots, and the bottom of the guide grooves where they go deeper."""
    root = given.root_diameter_mm
    if root is None:
        return None
    hub = None if diameters is None else diameters.hub_diameter_max_mm
    gap = () if contour is None else contour.gap
    grooved = face is not None and face.guide_form != "side_guide"
    if grooved and diameters is not None and diameters.groove_diameter_max_mm < root:
        return Metal(
            ends_diameter_mm=diameters.groove_diameter_max_mm,
            circle="guide groove",
            ends="the bottom of the guide groove",
            hub_diameter_max_mm=hub,
            gaps=given.teeth,
            gap=gap,
        )
    return Metal(ends_diameter_mm=root, hub_diameter_max_mm=hub, gaps=given.teeth, gap=gap)
