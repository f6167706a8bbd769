"""Interchange of chains whose rollers, bushes or barrels sit in tooth gaps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.interchange_sides import Known, known, pitch_of, seat_of
from service.core.conversions import MM_PER_INCH
from service.core.sprocket_asme_width import face_width_single
from service.core.sprocket_iso_rim import tooth_width_single
from service.reference.chains import fold

if TYPE_CHECKING:
    from service.calculations.interchange_findings import Agreement, Findings
    from service.calculations.interchange_sides import ComparedChain
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.engineering_chain import WheelGroupRow
    from service.reference.equivalents import Relation

OTHER_STANDARD_SCHEMES = frozenset({"ISO 4347"})
"""Schemes of aliases that name a size in another standard, and are no mere spelling."""
JOINT_FIGURES = ("pin_diameter", "inner_plate_height", "plate_thickness")


def compare_tooth_gap(first: ComparedChain, second: ComparedChain, findings: Findings, reference: Reference) -> None:
    """Compare two chains that run on toothed wheels."""
    if same_size(first, second, findings, reference):
        _show_same_size(first, second, findings)
    elif first.measured or second.measured or not compare_groups(first, second, findings, reference):
        compare_figures(*like_prints(first, second, findings, reference), findings, reference)
    compare_strands(first, second, findings)


def same_size(first: ComparedChain, second: ComparedChain, findings: Findings, reference: Reference) -> bool:
    """Note it where both names mean one size of one or two standards."""
    if first.own or second.own:
        return False
    if first.size is second.size:
        other_name = _scheme(first) != _scheme(second)
        findings.because("other_standard_name" if other_name else "same_designation")
        return True
    if second.size.designation in reference.equivalents.same_size(first.size.designation):
        findings.because("other_standard_name")
        return True
    return False


def _scheme(chain: ComparedChain) -> str:
    """The standard under whose name a chain was called, where an alias says it."""
    name = fold(chain.name)
    schemes = (alias.scheme for alias in chain.size.aliases if fold(alias.alias) == name)
    return next((scheme for scheme in schemes if scheme in OTHER_STANDARD_SCHEMES), "")


def _show_same_size(first: ComparedChain, second: ComparedChain, findings: Findings) -> None:
    tables, trace = findings.tables, findings.trace
    measured = first.measured or second.measured
    pitch = findings.compare("pitch", pitch_of(first, trace), pitch_of(second, trace), "wheel", same_size=not measured)
    seats = seat_of(first, tables, trace), seat_of(second, tables, trace)
    seat = findings.compare("seating_diameter", *seats, "wheel", same_size=not measured)
    _refuse_by("pitch_differs", pitch, findings)
    _refuse_by("seat_differs", seat, findings)
    if pitch == "unknown":
        # Conveyor sizes are made in many pitches and with several rollers: the name alone is no chain.
        findings.ask("tooth_gap", "pitch")
        if seat == "unknown":
            findings.ask("tooth_gap", "roller_kind")
    for name, interface in (("inner_width", "wheel"), *((name, "joint") for name in JOINT_FIGURES)):
        figures = known(first, name, trace), known(second, name, trace)
        findings.compare(name, *figures, "wheel" if interface == "wheel" else "joint", same_size=True)


def _refuse_by(reason: str, agreement: Agreement, findings: Findings) -> None:
    if agreement == "differs":
        findings.because(reason)


def compare_groups(first: ComparedChain, second: ComparedChain, findings: Findings, reference: Reference) -> bool:
    """Compare by the wheels that the chains are sold for; False where these are not known of both."""
    groups = reference.engineering.wheel_groups
    of_first = next(iter(groups.where(designation=first.size.designation)), None)
    of_second = next(iter(groups.where(designation=second.size.designation)), None)
    if first.own or second.own or of_first is None or of_second is None:
        return False
    findings.trace.row(of_first, f"wheel of {first.name}")
    findings.trace.row(of_second, f"wheel of {second.name}")
    trace = findings.trace
    pitch = findings.compare("pitch", pitch_of(first, trace), pitch_of(second, trace), "wheel")
    if of_first.wheel_group == of_second.wheel_group:
        _same_group(first, second, pitch, findings)
        return True
    seats = _group_seat(first, of_first, findings), _group_seat(second, of_second, findings)
    _other_group(first, second, pitch, findings.compare("seating_diameter", *seats, "wheel"), findings)
    return True


def _group_seat(chain: ComparedChain, row: WheelGroupRow, findings: Findings) -> Known | None:
    """The seat of a chain, else that of the wheel it is sold for."""
    of_wheel = None if row.seating_diameter_in is None else Known(row.seating_diameter_in * MM_PER_INCH)
    return seat_of(chain, findings.tables, findings.trace) or of_wheel


def _same_group(first: ComparedChain, second: ComparedChain, pitch: Agreement, findings: Findings) -> None:
    findings.because("same_wheel_group")
    if pitch == "differs":
        findings.because("group_pitch_differs")
    if first.size.row.family == second.size.row.family == "rivetless":
        findings.because("rivetless_width")
    widths = known(first, "link_width", findings.trace), known(second, "link_width", findings.trace)
    if findings.compare("link_width", *widths, "wheel") == "differs":
        findings.because("link_width_differs")


def _other_group(
    first: ComparedChain, second: ComparedChain, pitch: Agreement, seat: Agreement, findings: Findings
) -> None:
    rows = first.family(findings.tables), second.family(findings.tables)
    if all(row.other_number == "excluded" for row in rows):
        findings.because("other_number")
    elif pitch == "differs":
        findings.because("pitch_differs")
    elif seat == "differs":
        findings.because("seat_differs")
    else:
        findings.because("wheel_group_differs")
        if seat == "unknown":
            findings.ask("tooth_gap", "seating_diameter", "tooth_width")


def like_prints(
    first: ComparedChain, second: ComparedChain, findings: Findings, reference: Reference
) -> tuple[ComparedChain, ComparedChain]:
    """The same chains under names printed in one system of units, so that rounding of prints is no difference."""
    units = _unit(first.size), _unit(second.size)
    if first.own or second.own or None in units or units[0] == units[1]:
        return first, second
    if (other := _printed_in(first.size, units[1], reference)) is not None:
        findings.trace.assume(first.field, other.designation, "table", "compared by its figures in the other standard")
        return first.named(other), second
    if (other := _printed_in(second.size, units[0], reference)) is not None:
        findings.trace.assume(second.field, other.designation, "table", "compared by its figures in the other standard")
        return first, second.named(other)
    return first, second


def _unit(size: ChainSize) -> str | None:
    figure = size.find("pitch")
    return None if figure is None else figure.printed_unit


def _printed_in(size: ChainSize, unit: str | None, reference: Reference) -> ChainSize | None:
    twins = [reference.chains.get(name) for name in reference.equivalents.same_size(size.designation)]
    return next((twin for twin in twins if _unit(twin) == unit), None)


def compare_figures(first: ComparedChain, second: ComparedChain, findings: Findings, reference: Reference) -> None:
    """Compare pitch, seat and width, and where these agree the joint."""
    trace = findings.trace
    pitches = pitch_of(first, trace), pitch_of(second, trace)
    pitch = findings.compare("pitch", *pitches, "wheel")
    if pitch == "differs":
        findings.because("pitch_doubled" if is_doubled(*pitches, findings) else "pitch_differs")
    seats = seat_of(first, findings.tables, trace), seat_of(second, findings.tables, trace)
    seat = findings.compare("seating_diameter", *seats, "wheel")
    compare_widths(first, second, findings)
    for name, agreement in (("pitch", pitch), ("seating_diameter", seat)):
        if agreement == "unknown":
            findings.ask("tooth_gap", name)
    if seat == "differs":
        findings.because("carrying_roller" if _carrying_roller(first, second, pitch, findings) else "seat_differs")
    elif pitch == seat == "equal":
        _compare_joint(first, second, findings, reference)


def is_doubled(first: Known | None, second: Known | None, findings: Findings) -> bool:
    """Whether one pitch is twice the other."""
    if first is None or second is None:
        return False
    small, large = sorted((first.value, second.value))
    return abs(large - 2.0 * small) <= findings.tables.tolerances["pitch"].relative * large


def compare_widths(first: ComparedChain, second: ComparedChain, findings: Findings) -> None:
    """Compare the room for the tooth: each chain against the tooth that the other one's wheel has."""
    trace = findings.trace
    widths = known(first, "inner_width", trace), known(second, "inner_width", trace)
    agreement = findings.compare("inner_width", *widths, "wheel")
    if "check" in (first.family(findings.tables).width, second.family(findings.tables).width):
        findings.because("width_to_check")
    elif agreement == "unknown" or widths[0] is None or widths[1] is None:
        findings.ask("tooth_gap", "inner_width")
    elif agreement == "differs":
        rooms = ((first, widths[1].value), (second, widths[0].value))
        interferes = any((tooth_width(chain, findings) or 0.0) >= room for chain, room in rooms)
        findings.judge("inner_width", "interferes" if interferes else "fits")
        findings.because("width_interferes" if interferes else "width_plays")


def tooth_width(chain: ComparedChain, findings: Findings) -> float | None:
    """Tooth width of the wheel of a chain for one strand, mm, by the standard in whose unit the chain is printed.

    None where inner width or pitch are not known.
    """
    width, pitch = chain.size.find("inner_width"), pitch_of(chain, findings.trace)
    if width is None or pitch is None:
        return None
    if width.printed_unit == "in":
        return findings.trace.take(face_width_single, inner_width_in=width.value / MM_PER_INCH) * MM_PER_INCH
    return findings.trace.take(tooth_width_single, inner_width_mm=width.value, pitch_mm=pitch.value)


def _carrying_roller(first: ComparedChain, second: ComparedChain, pitch: Agreement, findings: Findings) -> bool:
    """Whether two double-pitch chains differ in the roller alone."""
    families = {first.size.row.family, second.size.row.family}
    pins = known(first, "pin_diameter", findings.trace), known(second, "pin_diameter", findings.trace)
    pin = findings.compare("pin_diameter", *pins, "joint")
    width = findings.dimensions.get("inner_width")
    same = pitch == pin == "equal" and width is not None and width.agreement == "equal"
    return families == {"double_pitch_roller"} and same


def _compare_joint(first: ComparedChain, second: ComparedChain, findings: Findings, reference: Reference) -> None:
    """Whether links of one go into the other: by the relation of the sizes, or by figures of a caller's chain."""
    found = {
        findings.compare(name, known(first, name, findings.trace), known(second, name, findings.trace), "joint")
        for name in JOINT_FIGURES
    }
    if first.own or second.own:
        if "differs" in found:
            findings.because("joint_differs")
        elif "unknown" in found:
            findings.because("joint_not_shown")
        else:
            findings.because("same_figures")
        return
    relation = _relation(first, second, reference)
    reasons: dict[Relation, str] = {"heavy_series_of": "heavy_series", "conveyor_form_of": "conveyor_form"}
    findings.because("other_series" if relation is None else reasons.get(relation, "other_series"))


def _relation(first: ComparedChain, second: ComparedChain, reference: Reference) -> Relation | None:
    """How two sizes are related, each under any of its names."""
    names = [
        {chain.size.designation, *reference.equivalents.same_size(chain.size.designation)} for chain in (first, second)
    ]
    for row in (row for name in names[0] for row in reference.equivalents.of(name)):
        left, right = row.designation, row.other
        if (left in names[0] and right in names[1]) or (left in names[1] and right in names[0]):
            return row.relation
    return None


def compare_strands(first: ComparedChain, second: ComparedChain, findings: Findings) -> None:
    """Compare the numbers of strands, and how far apart they stand."""
    if first.strand_count != second.strand_count:
        findings.because("strands_differ")
    elif first.strand_count > 1:
        trace = findings.trace
        pitches = known(first, "transverse_pitch", trace), known(second, "transverse_pitch", trace)
        agreement = findings.compare("transverse_pitch", *pitches, "strands")
        if agreement == "unknown":
            findings.ask("tooth_gap", "transverse_pitch")
        elif agreement == "differs":
            findings.because("transverse_pitch_differs")
