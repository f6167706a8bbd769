"""Whether a chain runs on a given toothed wheel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.interchange_sides import ComparedChain, Known, known, pitch_of, seat_of
from service.calculations.interchange_tooth_gap import (
    compare_groups,
    is_doubled,
    like_prints,
    same_size,
    tooth_width,
)
from service.core.conversions import MM_PER_INCH
from service.core.sprocket_asme import outside_diameter

if TYPE_CHECKING:
    from service.calculations.interchange_findings import Findings
    from service.calculations.interchange_sides import ComparedWheel
    from service.reference.catalogue import Reference


def compare_on_teeth(chain: ComparedChain, wheel: ComparedWheel, findings: Findings, reference: Reference) -> None:
    """Compare a chain with rollers, bushes or barrels with a toothed wheel."""
    cut_for = _cut_for(wheel)
    if cut_for is not None and same_size(chain, cut_for, findings, reference):
        _show(chain, cut_for, wheel, findings)
    elif cut_for is None or chain.measured or not compare_groups(chain, cut_for, findings, reference):
        _compare_figures(chain, cut_for, wheel, findings, reference)
    _compare_rows(chain, cut_for, wheel, findings)
    _look_at_tips(cut_for, wheel, findings)


def _cut_for(wheel: ComparedWheel) -> ComparedChain | None:
    """The chain that the wheel was made for, as a side of the comparison; single figures stand before its own."""
    if wheel.size is None:
        return None
    return ComparedChain(
        field="wheel",
        name=wheel.size.designation,
        size=wheel.size,
        strand_count=wheel.strand_count,
        pitch_mm=wheel.pitch_mm,
        seating_diameter_mm=wheel.seating_diameter_mm,
    )


def _show(chain: ComparedChain, cut_for: ComparedChain, wheel: ComparedWheel, findings: Findings) -> None:
    tables, trace = findings.tables, findings.trace
    measured = chain.measured or cut_for.measured
    pitch = findings.compare("pitch", pitch_of(chain, trace), pitch_of(cut_for, trace), "wheel", same_size=not measured)
    seats = seat_of(chain, tables, trace), seat_of(cut_for, tables, trace)
    seat = findings.compare("seating_diameter", *seats, "wheel", same_size=not measured)
    if pitch == "differs":
        findings.because("pitch_differs")
    if seat == "differs":
        findings.because("seat_differs")
    if pitch == "unknown":
        findings.ask("tooth_gap", "pitch", *(["roller_kind"] if seat == "unknown" else []))
    if wheel.tooth_width_mm is not None:
        _compare_room(chain, wheel.tooth_width_mm, findings)


def _compare_figures(
    chain: ComparedChain,
    cut_for: ComparedChain | None,
    wheel: ComparedWheel,
    findings: Findings,
    reference: Reference,
) -> None:
    if cut_for is not None:
        chain, cut_for = like_prints(chain, cut_for, findings, reference)
    seat_fits = _compare_seat(chain, cut_for, wheel, findings)
    pitch_fits = _compare_pitch(chain, cut_for, wheel, findings)
    width = wheel.tooth_width_mm
    if width is None and cut_for is not None:
        width = tooth_width(cut_for, findings)
    by_rule = chain.family(findings.tables).width == "tooth_width"
    if not by_rule and wheel.tooth_width_mm is None:
        findings.because("width_to_check")
    elif width is None or chain.size.find("inner_width") is None:
        findings.ask("tooth_gap", "inner_width" if width is not None else "tooth_width")
    elif _compare_room(chain, width, findings) and seat_fits and pitch_fits:
        findings.because("wheel_figures_fit")


def _compare_seat(
    chain: ComparedChain, cut_for: ComparedChain | None, wheel: ComparedWheel, findings: Findings
) -> bool:
    tables, trace = findings.tables, findings.trace
    made = wheel.seating_diameter_mm
    of_wheel = Known(made) if made is not None else None if cut_for is None else seat_of(cut_for, tables, trace)
    agreement = findings.compare("seating_diameter", seat_of(chain, tables, trace), of_wheel, "wheel")
    if agreement == "unknown":
        findings.ask("tooth_gap", "seating_diameter")
    elif agreement == "differs":
        findings.because("seat_differs")
    return agreement == "equal"


def _compare_pitch(
    chain: ComparedChain, cut_for: ComparedChain | None, wheel: ComparedWheel, findings: Findings
) -> bool:
    """Compare the pitches; a chain of twice the pitch sits in every second gap, one of half the pitch in none."""
    of_chain = pitch_of(chain, findings.trace)
    made = wheel.pitch_mm
    of_wheel = Known(made) if made is not None else None if cut_for is None else pitch_of(cut_for, findings.trace)
    agreement = findings.compare("pitch", of_chain, of_wheel, "wheel")
    if agreement == "unknown":
        findings.ask("tooth_gap", "pitch")
    elif agreement == "differs":
        doubled = is_doubled(of_chain, of_wheel, findings)
        if doubled and of_chain is not None and of_wheel is not None and of_chain.value > of_wheel.value:
            findings.because("pitch_doubled")
            _tell_teeth(wheel, findings)
        else:
            findings.because("pitch_differs")
    return agreement == "equal"


def _tell_teeth(wheel: ComparedWheel, findings: Findings) -> None:
    if wheel.teeth is None:
        return
    if wheel.teeth % 2:
        findings.because("double_pitch_odd_teeth")
    else:
        findings.because("double_pitch_even_teeth")
        message = f"With {wheel.teeth} teeth the double-pitch chain always sits in the same half of the gaps."
        findings.trace.warn("same_teeth_engaged", message, field="wheel.teeth")


def _compare_room(chain: ComparedChain, width_mm: float, findings: Findings) -> bool:
    """Whether the tooth fits between the inner plates with about the play that the standard gives."""
    room = known(chain, "inner_width", findings.trace)
    if room is None:
        findings.ask("tooth_gap", "inner_width")
        return False
    findings.compare("tooth_width", room, Known(width_mm), "wheel")
    interferes = width_mm >= room.value
    share = findings.tables.tolerances["tooth_width"].relative
    usual = tooth_width(chain, findings)
    plays = usual is not None and abs(width_mm / usual - 1.0) > share
    findings.judge("tooth_width", "interferes" if interferes else "fits")
    if interferes or plays:
        findings.because("width_interferes" if interferes else "width_plays")
    return not (interferes or plays)


def _compare_rows(
    chain: ComparedChain, cut_for: ComparedChain | None, wheel: ComparedWheel, findings: Findings
) -> None:
    """Compare strands with rows of teeth."""
    spacing = _spacing(cut_for, wheel, findings)
    if chain.strand_count > wheel.strand_count:
        findings.because("strands_differ")
        return
    if chain.strand_count < wheel.strand_count:
        findings.because("fewer_strands")
        _compare_overall(chain, cut_for, wheel, spacing, findings)
    if chain.strand_count > 1:
        of_chain = known(chain, "transverse_pitch", findings.trace)
        agreement = findings.compare("transverse_pitch", of_chain, spacing, "strands")
        if agreement == "unknown":
            findings.ask("tooth_gap", "transverse_pitch")
        elif agreement == "differs":
            findings.because("transverse_pitch_differs")


def _spacing(cut_for: ComparedChain | None, wheel: ComparedWheel, findings: Findings) -> Known | None:
    if wheel.transverse_pitch_mm is not None:
        return Known(wheel.transverse_pitch_mm)
    if cut_for is None or wheel.strand_count == 1:
        return None
    return known(cut_for, "transverse_pitch", findings.trace)


def _compare_overall(
    chain: ComparedChain,
    cut_for: ComparedChain | None,
    wheel: ComparedWheel,
    spacing: Known | None,
    findings: Findings,
) -> None:
    """Whether a chain on one row keeps clear of the teeth of the next row."""
    width = wheel.tooth_width_mm
    if width is None and cut_for is not None:
        width = tooth_width(cut_for, findings)
    if chain.overall_width_mm is None or spacing is None or width is None:
        return
    side = (chain.strand_count - 1) * spacing.value / 2.0 + chain.overall_width_mm / 2.0
    if side >= chain.strand_count * spacing.value - width / 2.0:
        findings.because("too_wide_between_rows")


def _look_at_tips(cut_for: ComparedChain | None, wheel: ComparedWheel, findings: Findings) -> None:
    """An outside diameter tells the wear of the tips and not the size of the wheel."""
    pitch = wheel.pitch_mm if cut_for is None else getattr(pitch_of(cut_for, findings.trace), "value", None)
    if wheel.outside_diameter_mm is None or wheel.teeth is None or pitch is None:
        return
    new = findings.trace.take(outside_diameter, pitch_in=pitch / MM_PER_INCH, teeth=wheel.teeth) * MM_PER_INCH
    if wheel.outside_diameter_mm < new:
        message = (
            f"{wheel.outside_diameter_mm:.4g} mm over the tips is less than the {new:.4g} mm of a new wheel: "
            "tips wear, so the outside diameter was not used."
        )
        findings.trace.warn("tip_wear_suspect", message, field="wheel.outside_diameter_mm")
