"""Figures of roller chain against public tables, against the rules of the standards, and against each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from service.reference.catalogue import Reference, load_reference

if TYPE_CHECKING:
    from service.reference.chains import ChainSize

INCH = 25.4
LBF = 4.4482216152605
HALF_DIGIT_INCH = 0.0005 * INCH
HALF_DIGIT_MM = 0.005


@pytest.fixture(scope="module")
def reference() -> Reference:
    return load_reference()


def inch(size: ChainSize, quantity: str) -> float:
    return size.figure(quantity).value / INCH


# A trade table of double strand inch chain, read on its own: pitch, width, roller, plate thickness, pin, strands apart.
DOUBLE_STRAND = """
35 0.375 0.188 0.200 0.050 0.141 0.399
40 0.500 0.313 0.313 0.060 0.156 0.566
50 0.625 0.375 0.400 0.080 0.200 0.713
60 0.750 0.500 0.469 0.094 0.234 0.897
80 1.000 0.625 0.625 0.125 0.312 1.153
100 1.250 0.750 0.750 0.156 0.375 1.408
120 1.500 1.000 0.875 0.187 0.437 1.789
140 1.750 1.000 1.000 0.219 0.500 1.924
160 2.000 1.250 1.125 0.250 0.562 2.305
180 2.250 1.406 1.406 0.281 0.687 2.592
200 2.500 1.500 1.562 0.312 0.781 2.817
240 3.000 1.875 1.875 0.375 0.937 3.458
"""


@pytest.mark.parametrize("line", DOUBLE_STRAND.split("\n")[1:-1])
def test_inch_dimensions(reference: Reference, line: str) -> None:
    designation, *printed = line.split()
    size = reference.chains.get(designation)
    names = ("pitch", "inner_width", "roller_diameter", "plate_thickness", "pin_diameter", "transverse_pitch")
    for name, value in zip(names, map(float, printed), strict=True):
        assert inch(size, name) == pytest.approx(value, abs=0.00101), name  # 5/16 is printed 0.312 and 0.313


# A public list of minimum tensile strengths in lbf, and two rows of minimum dynamic strength, read elsewhere.
@pytest.mark.parametrize(
    ("designation", "tensile_lbf", "dynamic_lbf"),
    [("41", 1500, None), ("40", 3125, None), ("50", 4880, None), ("60", 7030, None), ("80", 12500, 2150),
     ("80H", None, 2400), ("140", 38280, None), ("160", 50000, None), ("240", 112500, None)],
)  # fmt: skip
def test_inch_strengths(
    reference: Reference, designation: str, tensile_lbf: float | None, dynamic_lbf: float | None
) -> None:
    size = reference.chains.get(designation)
    for quantity, printed in (("minimum_tensile_strength", tensile_lbf), ("minimum_dynamic_strength", dynamic_lbf)):
        if printed is not None:
            assert size.figure(quantity).value == pytest.approx(printed * LBF)


def test_inch_strength_follows_the_square_of_the_pitch(reference: Reference) -> None:
    """The rule 12 500 P^2 of the standard; only the lightweight 41 departs from it."""
    for size in reference.chains.sizes:
        if size.row.standard == "ASME B29.1" and size.designation != "41":
            printed = size.figure("minimum_tensile_strength").printed_value
            assert printed == pytest.approx(12500 * inch(size, "pitch") ** 2, rel=2e-3), size.designation


def test_inch_length_tolerance_follows_its_rule(reference: Reference) -> None:
    for row in reference.length_tolerances.where(scheme="asme"):
        pitch_in = inch(reference.chains.get(row.applies_to), "pitch")
        assert row.over == pytest.approx(0.001 / pitch_in**2 + 0.015, abs=0.00051)


# Trade rows of chain to ISO 606, read one by one: strands, transverse pitch, pin, least tensile strength.
STRANDS = """
05B 2 5.64 2.31 7800
05B 3 5.64 2.31 11100
08B 3 13.92 4.45 -
10B 2 16.59 5.08 44500
12B 3 19.46 5.72 86700
16B 1 - 8.28 60000
16B 2 31.88 8.28 106000
16B 3 31.88 8.28 160000
20B 1 - - 95000
32B 1 - 17.81 250000
16A 2 29.29 - -
24A 2 45.44 - -
28A 2 48.87 - -
32A 2 58.55 - -
"""


@pytest.mark.parametrize("line", STRANDS.split("\n")[1:-1])
def test_metric_strands(reference: Reference, line: str) -> None:
    designation, strands, *printed = line.split()
    size = reference.chains.get(designation)
    for quantity, value in zip(("transverse_pitch", "pin_diameter", "minimum_tensile_strength"), printed, strict=True):
        if value != "-":
            assert size.figure(quantity, int(strands)).value == pytest.approx(float(value)), quantity


# A table of chain to DIN 8187, read on its own: pitch, inner width, roller.
@pytest.mark.parametrize(
    "line",
    ["05B 8.00 3.00 5.00", "06B 9.52 5.72 6.35", "08B 12.70 7.75 8.51", "081 12.70 3.30 7.75", "083 12.70 4.88 7.75",
     "10B 15.87 9.65 10.16", "12B 19.05 11.68 12.07", "16B 25.40 17.02 15.88", "20B 31.75 19.56 19.05",
     "24B 38.10 25.40 25.40", "28B 44.45 30.99 27.94", "32B 50.80 30.99 29.21", "40B 63.50 38.10 39.37",
     "48B 76.20 45.72 48.26"],
)  # fmt: skip
def test_metric_interface(reference: Reference, line: str) -> None:
    designation, *printed = line.split()
    size = reference.chains.get(designation)
    for name, value in zip(("pitch", "inner_width", "roller_diameter"), map(float, printed), strict=True):
        assert size.figure(name).value == pytest.approx(value, abs=0.0051), name


def test_equal_sizes_of_two_standards_agree(reference: Reference) -> None:
    pairs = [row for row in reference.equivalents.rows if row.relation == "same_size_other_standard"]
    assert len(pairs) > 40
    for row in pairs:
        one, other = reference.chains.get(row.designation), reference.chains.get(row.other)
        for name in ("pitch", "roller_diameter", "transverse_pitch"):
            first, second = one.find(name), other.find(name)
            if first is not None and second is not None:
                rounding = HALF_DIGIT_INCH + HALF_DIGIT_MM
                assert first.value == pytest.approx(second.value, abs=rounding), (row, name)
        width, least = one.figure("inner_width"), other.figure("inner_width")
        assert 0 <= width.value - least.value < 0.3, row
        strength, counterpart = one.find("minimum_tensile_strength"), other.find("minimum_tensile_strength")
        if strength is not None and counterpart is not None:
            assert strength.value == pytest.approx(counterpart.value, rel=0.01), row


def test_forms_of_one_size_share_what_the_wheel_fits(reference: Reference) -> None:
    def figure(designation: str, name: str) -> float:
        return reference.chains.get(designation).figure(name).value

    for row in reference.equivalents.rows:
        ratio = 2 if row.relation == "double_pitch_of" else 1
        if row.relation != "same_size_other_standard":
            pitch = figure(row.designation, "pitch") / figure(row.other, "pitch")
            assert pitch == pytest.approx(ratio), row
        if row.relation in ("heavy_series_of", "double_pitch_of"):
            for name in ("roller_diameter", "inner_width"):
                assert figure(row.designation, name) == pytest.approx(figure(row.other, name)), row
        if row.relation == "large_roller_of":
            assert figure(row.designation, "roller_diameter") > 1.5 * figure(row.other, "roller_diameter"), row


def test_heavy_plates_are_thicker(reference: Reference) -> None:
    for row in reference.equivalents.rows:
        if row.relation == "heavy_series_of":
            heavy, plain = (reference.chains.get(name).find("plate_thickness") for name in (row.designation, row.other))
            if heavy is not None and plain is not None:
                assert heavy.value > plain.value, row


def test_equivalents_are_found_from_either_side(reference: Reference) -> None:
    assert reference.equivalents.same_size("80") == ("16A",)
    assert reference.equivalents.same_size("16A") == ("80",)
    assert reference.equivalents.same_size("16B") == ()
    assert {row.relation for row in reference.equivalents.of("80H")} == {"same_size_other_standard", "heavy_series_of"}


def test_later_edition_goes_before_the_older_strength(reference: Reference) -> None:
    """The textbook's older 97 900 N of 24B stays in the table but is not what a caller gets."""
    figures = [f for f in reference.chains.get("24B").figures if f.quantity == "minimum_tensile_strength"]
    single = [figure for figure in figures if figure.strand_count == 1]
    assert [figure.source_id for figure in single] == ["iso-606-2004", "bhandari-3"]
    assert reference.chains.get("24B").figure("minimum_tensile_strength").source_id == "iso-606-2004"


def test_missing_figure_is_refused_not_guessed(reference: Reference) -> None:
    assert reference.chains.get("80H").find("mass_per_length") is None
    assert reference.chains.get("80").find("mass_per_length", 2) is None
