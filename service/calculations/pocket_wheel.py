"""A pocket wheel for calibrated round-link chain: the circles of its polygon and the chain that it moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.elongation_check import CAUTIONS_LIFTING
from service.calculations.trace import Outcome, Trace
from service.calculations.wheel_family import expect_wheel, wheel_statements
from service.calculations.wheel_openings import NOTHING_CUT, Metal, Openings, OpeningsInput, openings_within
from service.core import pocket_wheel as relations
from service.core.errors import Inconsistent, Issue, NotInReference, OutOfRange
from service.reference.records import Record
from service.reference.round_link import USE_OF_SERIES

if TYPE_CHECKING:
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.families import StatementRow


_BODY_FOR_WALLS = Issue(
    "body_diameter_mm",
    "field_required",
    "The walls of bore and holes are measured from the bottoms of pockets and grooves, whose form is not published: "
    "send body_diameter.",
    None,
    None,
    "From the drawing of the wheel.",
)


class PocketWheelInput(Record, frozen=True, kw_only=True):
    """A pocket wheel for one chain."""

    chain: ChainSize
    pockets: int
    contour_required: bool = False
    body_diameter_mm: float | None = None
    openings: OpeningsInput = NOTHING_CUT


class PocketWheelResult(Record, frozen=True, kw_only=True):
    """The wheel; each pocket takes one flat and one upright link."""

    pitch_mm: float
    wire_diameter_mm: float
    pitch_diameter_mm: float
    inscribed_diameter_mm: float
    travel_per_turn_mm: float
    pocket_angle_deg: float
    body_diameter_mm: float | None
    openings: Openings | None
    statements: tuple[StatementRow, ...]


def pocket_wheel(
    given: PocketWheelInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[PocketWheelResult]:
    """Geometry of a pocket wheel.

    Raises:
        Inconsistent: the chain is no round-link chain or is sling chain.
        OutOfRange: too few or too many pockets, or an opening that does not fit.
        MoreNeeded: openings without the body diameter that their walls are measured from.
        NotInReference: a contour of the pockets was asked for.
    """
    trace = Trace(keep_steps=keep_steps)
    expect_wheel(given.chain, "pocket")
    _check_use(given.chain, trace)
    _check_form(given, trace)
    size = {
        "wire_diameter_mm": trace.figure(given.chain, "wire_diameter"),
        "pitch_mm": trace.figure(given.chain, "pitch"),
    }
    result = PocketWheelResult(
        pitch_mm=size["pitch_mm"],
        wire_diameter_mm=size["wire_diameter_mm"],
        pitch_diameter_mm=trace.take(relations.pitch_diameter, **size, pockets=given.pockets),
        inscribed_diameter_mm=trace.take(relations.inscribed_diameter, **size, pockets=given.pockets),
        travel_per_turn_mm=trace.take(relations.travel_per_turn, pitch_mm=size["pitch_mm"], pockets=given.pockets),
        pocket_angle_deg=360 / given.pockets,
        body_diameter_mm=given.body_diameter_mm,
        openings=_openings(given, size, reference, trace),
        statements=wheel_statements("round_link", reference, trace),
    )
    _warn(given.pockets, size["pitch_mm"] / size["wire_diameter_mm"], trace)
    trace.caution("isolate_and_lock_off", "guard_the_drive", *CAUTIONS_LIFTING)
    return Outcome(result, trace)


def _openings(given: PocketWheelInput, size: dict[str, float], reference: Reference, trace: Trace) -> Openings | None:
    """Openings inside the body: the metal that pockets and grooves leave, of which no form is published."""
    body, metal = given.body_diameter_mm, None
    if body is not None:
        floor = relations.inscribed_diameter(**size, pockets=given.pockets) - size["wire_diameter_mm"]
        if not body < floor:
            message = f"The flat links lie on a circle of {floor:.5g} mm, so that the body of the wheel is smaller."
            raise OutOfRange(Issue("body_diameter_mm", "geometry_impossible", message, floor, body))
        metal = Metal(
            ends_diameter_mm=body,
            circle="body of the wheel",
            ends="the grooves of the upright links",
            gaps=given.pockets,
        )
    return openings_within(given.openings, metal, _BODY_FOR_WALLS, reference.key_sizes, trace)


def _check_use(chain: ChainSize, trace: Trace) -> None:
    use = USE_OF_SERIES.get(chain.row.series)
    if use == "sling":
        message = f"{chain.designation} is sling chain of medium tolerance, which must not run over a pocket wheel."
        hint = "Take calibrated chain, such as that of EN 818-7, made for the wheel."
        raise Inconsistent(Issue("chain", "sling_chain_on_wheel", message, None, chain.designation, hint))
    if use == "not_for_lifting":
        message = f"{chain.designation} is held here as a chain that is not for lifting."
        trace.warn("chain_not_for_lifting", message, field="chain")


def _check_form(given: PocketWheelInput, trace: Trace) -> None:
    message = "The form of the pockets is not in the reference data, only the circles that the links lie on."
    hint = "The wheel needs the pocket drawing of a standard such as GOST 13561 or of the maker, for this very chain."
    if given.contour_required:
        raise NotInReference(Issue("chain", "form_not_published", message, None, given.chain.designation, hint))
    trace.warn("form_not_published", f"{message} {hint}", severity="info", field="chain")


def _warn(pockets: int, ratio: float, trace: Trace) -> None:
    if pockets < relations.USUAL_POCKETS:
        message = f"{pockets} pockets are allowed, but mostly {relations.USUAL_POCKETS} or more are made."
        trace.warn("teeth_few", message, field="pockets")
    if not relations.PITCH_RATIO_MIN <= ratio <= relations.PITCH_RATIO_MAX:
        message = (
            f"The pitch is {ratio:.3g} wire diameters; the print of the relation names {relations.PITCH_RATIO_MIN:g} "
            f"to {relations.PITCH_RATIO_MAX:g}."
        )
        trace.warn("geometry_suspect", message, field="chain")
    trace.warn(
        "speed_varies_within_pocket",
        "Flat and upright links run at different radii: take the chain from the travel of a turn, not from the pitch "
        "circle.",
        severity="info",
    )
