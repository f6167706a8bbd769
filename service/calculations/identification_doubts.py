"""What may be wrong with the measurements of a piece: counts, units, fields and wear that do not agree."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.identification import SPREAD, Identification
from service.calculations.identification_ranking import Measured, Sample, Scored, rank
from service.core.conversions import MM_PER_INCH
from service.core.errors import Inconsistent, Issue
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from service.calculations.identification_index import Dimension, IdentificationIndex
    from service.calculations.trace import Trace

WORN_OUT_PERCENT = 4.0
"""Elongation beyond which chain is hardly in service any more, so that the size is rather another one."""
SHORTER_PERCENT = (-6.0, -0.3)
"""How much shorter than printed a length looks that was counted or converted wrongly, not merely read badly."""
COARSE_SHARE = 0.05
"""Uncertainty over value above which neighbouring sizes run into one another."""
WORN_BARREL_SHARE = 0.97
COUNTS_TRIED = (10, 5, 6, 8, 12, 20, 24)
"""Numbers of pitches over which chain is usually measured."""
LEAST_LENGTH_MM = 60.0
"""A value in the pitch field below this is hardly a length over several pitches."""


class HowMeasured(Record, frozen=True):
    """How the pitch was found: over one joint, or as a length over so many."""

    single_pitch: bool = False
    length_pitches: int | None = None


def check_geometry(sample: Sample) -> None:
    """Refuse dimensions that no chain can have together.

    Raises:
        Inconsistent: ``geometry_impossible`` for every pair.
    """
    issues = []
    for smaller, larger, why in (
        ("roller_diameter", "pitch", "two rollers would touch"),
        ("pin_diameter", "roller_diameter", "the pin lies inside the roller"),
        ("pin_diameter", "plate_height", "the pin lies inside the plate"),
        ("wire_diameter", "pitch", "a link lets no other in"),
    ):
        values = sample.values
        if smaller in values and larger in values:
            less, more = values[smaller].value_mm, values[larger].value_mm
            if less >= more:
                words = f"{smaller} {less:.6g} mm is not less than {larger} {more:.6g} mm: {why}."
                message = words.replace("_", " ").capitalize()
                issues.append(Issue(smaller, "geometry_impossible", message, None, None, "Were the two swapped?"))
    if issues:
        raise Inconsistent(*issues)


def doubts(index: IdentificationIndex, sample: Sample, how: HowMeasured, found: Identification, trace: Trace) -> None:
    """Note every doubt.

    Raises:
        Inconsistent: ``length_in_pitch_field`` where the pitch is a length over several pitches.
    """
    _measuring(sample, how, trace)
    _silent(sample, found, trace)
    _best(sample, found, trace)
    _equal(found, trace)
    _swapped(index, sample, found, trace)
    if found.outcome == "no_match":
        _without_match(index, sample, how, found, trace)
    if how.single_pitch and "roller_diameter" not in sample.values:
        _link_pair(index, sample, trace)
        if found.outcome != "no_match":
            _several_pitches(index, sample, trace)


def _measuring(sample: Sample, how: HowMeasured, trace: Trace) -> None:
    values = sample.values
    if how.single_pitch and sample.condition != "new":
        message = "One joint was measured: wear and play of one joint say little; measure over ten pitches or more."
        trace.warn("single_pitch_measured", message, field="pitch")
    for dimension, measured in values.items():
        if measured.uncertainty_mm > COARSE_SHARE * measured.value_mm:
            message = (
                f"The {dimension.replace('_', ' ')} is known to {measured.uncertainty_mm:.3g} mm only, which tells few "
                "sizes apart."
            )
            trace.warn("measurement_too_coarse", message, field=dimension)
    if sample.strand_count > 1 and "transverse_pitch" not in values:
        message = "Several strands: the distance between strand centres tells heavy and plain series apart."
        trace.warn("transverse_pitch_missing", message, field="transverse_pitch")
    pitch, transverse = values.get("pitch"), values.get("transverse_pitch")
    if pitch and transverse and abs(pitch.value_mm - transverse.value_mm) < 0.01 * pitch.value_mm:
        message = "The transverse pitch equals the pitch, which no size of several strands has."
        trace.warn("fields_swapped_suspect", message, field="transverse_pitch")


def _silent(sample: Sample, found: Identification, trace: Trace) -> None:
    families = {candidate.kind.size.row.family for candidate in found.candidates}
    if "silent" in families and found.outcome != "no_match" and sample.guide is None:
        message = (
            "Silent chain of one pitch and width is made with several guides, joints and link forms: tell the guide "
            "type, and compare joint and link form before a section is replaced."
        )
        trace.warn("fields_missing", message, field="guide_type")
    if "chain_width" in sample.values:
        width = sample.values["chain_width"].value_mm
        for candidate in found.candidates:
            heads = candidate.kind.size.find("overall_width")
            failing = [compared.dimension for compared in candidate.compared if not compared.fits]
            if heads is not None and failing == ["chain_width"] and width <= 1.01 * heads.value:
                message = f"The width may be that over the pin heads: {candidate.kind.size.designation} would fit then."
                trace.warn("width_reference_suspect", message, field="chain_width")
                return
    if sample.counts and found.outcome == "no_match":
        plates = " x ".join(str(count) for count in sample.counts.values())
        message = f"No leaf chain of these dimensions is laced {plates}; count the plates across one pitch again."
        trace.warn("lacing_inconsistent", message, field="pin_link_plates")


def _best(sample: Sample, found: Identification, trace: Trace) -> None:
    if not found.candidates:
        return
    best = found.candidates[0]
    name, elongation = best.kind.size.designation, best.elongation_percent
    if found.outcome != "no_match" and elongation is not None and elongation > WORN_OUT_PERCENT:
        message = (
            f"As {name} the chain would be {elongation:.2f} % long, beyond use; it may rather be another size. "
            "Settle it by roller and width."
        )
        trace.warn("worn_beyond_use", message, field="pitch")
    if found.outcome == "no_match" and elongation is not None and SHORTER_PERCENT[0] < elongation < SHORTER_PERCENT[1]:
        message = (
            f"Against {name} the length is {-elongation:.2f} % short, which no wear makes: unit, count or another size?"
        )
        trace.warn("shorter_than_nominal", message, field="pitch")
    for compared in best.compared:
        barrel = compared.band.figure.quantity in ("barrel_diameter", "bush_diameter")
        worn = compared.measured.value_mm < WORN_BARREL_SHARE * compared.band.expected
        if found.outcome != "no_match" and barrel and worn and sample.condition != "new":
            message = f"The barrel is smaller than printed for {name}; that was taken for wear."
            trace.warn("barrel_wear_assumed", message, severity="info", field="roller_diameter")


def _equal(found: Identification, trace: Trace) -> None:
    """Sizes of several chains among those that the piece can be."""
    if found.outcome == "no_match":
        return
    for kind in found.not_separable or (found.candidates[0].kind,):
        if kind.equal_chains:
            names = " and ".join(equals[0].designation for equals in kind.equal_chains)
            message = (
                f"{names} have equal printed dimensions, so no measuring tells them apart: compare stamp, standard, "
                "material and heat treatment, and take none for the other."
            )
            trace.warn("equal_dimensions", message)


def _without_match(
    index: IdentificationIndex, sample: Sample, how: HowMeasured, found: Identification, trace: Trace
) -> None:
    """What single slip would make a size fit."""
    if how.single_pitch:
        _refuse_length(index, sample)
    pitches = how.length_pitches
    if pitches is not None and pitches > 1:
        fitting = _fitting(index, _scaled(sample, "pitch", pitches / (pitches - 1)))
        if fitting:
            message = f"With {pitches - 1} pitches it would be {_names(fitting)}: were pins counted?"
            trace.warn("pins_not_pitches_suspect", message, field="pitch_count")
    _outer_width(found, trace)
    for factor, words in ((MM_PER_INCH, "inches sent as millimetres"), (1 / MM_PER_INCH, "millimetres sent as inches")):
        scaled = {
            dimension: Measured(measured.value_mm * factor, measured.uncertainty_mm * max(factor, 1.0))
            for dimension, measured in sample.values.items()
        }
        fitting = _fitting(index, replace(sample, values=scaled)) if len(scaled) > 1 else []
        if fitting:
            trace.warn("unit_suspect", f"If all values were {words}, it would be {_names(fitting)}.")


def _swapped(index: IdentificationIndex, sample: Sample, found: Identification, trace: Trace) -> None:
    """Roller and inner width exchanged make a size fit that is clearly better than any as sent."""
    if not {"roller_diameter", "inner_width"} <= sample.values.keys():
        return
    swapped = {**sample.values}
    swapped["roller_diameter"], swapped["inner_width"] = swapped["inner_width"], swapped["roller_diameter"]
    fitting = _fitting(index, replace(sample, values=swapped))
    if fitting and (found.outcome == "no_match" or fitting[0].score + SPREAD < found.candidates[0].score):
        message = f"With roller and inner width exchanged it would be {_names(fitting)}."
        trace.warn("fields_swapped_suspect", message, field="roller_diameter")


def _outer_width(found: Identification, trace: Trace) -> None:
    for candidate in found.candidates:
        failing = [compared for compared in candidate.compared if not compared.fits]
        if len(failing) == 1 and failing[0].dimension == "inner_width":
            wide = failing[0].measured.value_mm > 1.15 * failing[0].band.expected
            if wide and len(candidate.compared) > 2:
                name = candidate.kind.size.designation
                message = f"All but the inner width fits {name}: was the width over the outside of the plates measured?"
                trace.warn("fields_swapped_suspect", message, field="inner_width")
                return


def _refuse_length(index: IdentificationIndex, sample: Sample) -> None:
    pitch = sample.values["pitch"].value_mm
    for count in COUNTS_TRIED if pitch >= LEAST_LENGTH_MM else ():
        fitting = _fitting(index, _scaled(sample, "pitch", 1 / count))
        if fitting:
            message = (
                f"{pitch:.6g} mm as a pitch fits no size; as a length over {count} pitches it fits {_names(fitting)}."
            )
            hint = f"Send length and pitch_count {count} instead of pitch."
            raise Inconsistent(Issue("pitch", "length_in_pitch_field", message, None, pitch, hint))


def _several_pitches(index: IdentificationIndex, sample: Sample, trace: Trace) -> None:
    """The pitch may be a length over several pitches, though some size has a pitch like it."""
    pitch = sample.values["pitch"].value_mm
    for count in COUNTS_TRIED if pitch >= LEAST_LENGTH_MM else ():
        fitting = _fitting(index, _scaled(sample, "pitch", 1 / count))
        names = [candidate for candidate in fitting if candidate.kind.size.row.family == "roller"]
        if names:
            message = (
                f"{pitch:.6g} mm may be a length over {count} pitches, which fits {_names(names)}: send length and "
                f"pitch_count {count} then."
            )
            trace.warn("length_in_pitch_field", message, field="pitch")
            return


def _link_pair(index: IdentificationIndex, sample: Sample, trace: Trace) -> None:
    """The pitch may be that of two links: a chain of half of it, a little more worn, fits as well."""
    fitting = _fitting(index, _scaled(sample, "pitch", 0.5))
    names = [scored for scored in fitting if scored.kind.family == "roller"]
    if names:
        message = f"The pitch may be that of a pair of links: half of it fits {_names(names)}. Count the pins."
        trace.warn("link_pair_suspect", message, field="pitch")


def _fitting(index: IdentificationIndex, sample: Sample) -> list[Scored]:
    return rank(index, sample).fitting


def _scaled(sample: Sample, dimension: Dimension, factor: float) -> Sample:
    measured = sample.values[dimension]
    scaled = Measured(measured.value_mm * factor, measured.uncertainty_mm * min(factor, 1.0))
    return replace(sample, values={**sample.values, dimension: scaled})


def _names(fitting: list[Scored]) -> str:
    return ", ".join(scored.kind.size.designation for scored in fitting[:3])
