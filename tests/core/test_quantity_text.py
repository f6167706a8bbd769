"""Quantities as people write them: values by exact arithmetic, and every unclear text asked or refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.errors import EngineeringError, MoreNeeded, OutOfRange
from service.core.quantity_text import MAX_TEXT, read

READ = [
    # text, value, unit as written
    ("1-1/2 in", Fraction(3, 2), "in"),
    ('1 1/2"', Fraction(3, 2), '"'),
    ("1\u00a01/2 in", Fraction(3, 2), "in"),
    ("1 - 1/2 in", Fraction(3, 2), "in"),
    ("1½", Fraction(3, 2), ""),
    ("1 ⅝ in", Fraction(13, 8), "in"),
    ("1⅛″", Fraction(9, 8), '"'),
    ("½ in", Fraction(1, 2), "in"),
    ("2 1⁄2 in", Fraction(5, 2), "in"),
    ("3/2 in", Fraction(3, 2), "in"),
    ("5/16in", Fraction(5, 16), "in"),
    ("1.5\u201d", Fraction(3, 2), '"'),
    ("1.5''", Fraction(3, 2), "''"),
    ("38.1 mm", Fraction(381, 10), "mm"),
    ("38,1 mm", Fraction(381, 10), "mm"),
    ("38,1mm", Fraction(381, 10), "mm"),
    ("0,375 in", Fraction(3, 8), "in"),
    ("1234,567 mm", Fraction(1234567, 1000), "mm"),
    ("1.250 in", Fraction(5, 4), "in"),
    (".5 in", Fraction(1, 2), "in"),
    ("５０．８ mm", Fraction(508, 10), "mm"),
    ("\u221220 °C", Fraction(-20), "°C"),
    ("-19.05 mm", Fraction(-1905, 100), "mm"),
    ("7 1/2 hp", Fraction(15, 2), "hp"),
    ("12 ft", Fraction(12), "ft"),
    ("12'", Fraction(12), "ft"),
    ("5' 3-1/4\"", Fraction(253, 4), "in"),
    ("5'-3 1/4\"", Fraction(253, 4), "in"),
    ("5\u2032 3¼\u2033", Fraction(253, 4), "in"),
    ("5 ft 3.25 in", Fraction(253, 4), "in"),
    ("5 feet 3 1/4 inches", Fraction(253, 4), "in"),
]


@pytest.mark.parametrize(("text", "value", "unit"), READ, ids=[case[0] for case in READ])
def test_reads(text, value, unit):
    found = read(text=text)
    assert (found.magnitude, found.unit) == (float(value), unit)


ASKED = [
    ("1,250 mm", {"1.250", "1250"}),
    ("12,700 mm", {"12.700", "12700"}),
    ("1.250,5 mm", {"1250.5"}),
    ("1,250.5 mm", {"1250.5"}),
    ("1.250.000 mm", {"1250000"}),
    ("1 250 mm", {"1250"}),
    ("5'3", {"5 ft 3 in"}),
    ("5 ft 3-1/4", {"5 ft 3-1/4 in"}),
]


@pytest.mark.parametrize(("text", "readings"), ASKED, ids=[case[0] for case in ASKED])
def test_asks(text, readings):
    with pytest.raises(MoreNeeded) as caught:
        read(text=text)
    assert caught.value.issues[0].code == "number_ambiguous"
    assert set(caught.value.candidates) == readings


REFUSED = [
    # text, part that the message names
    ("1-1/2-1/4 in", "-1/4 in"),
    ("1/2-1 in", "-1 in"),
    ("3/0 in", "division by zero"),
    ("1-3/2 in", "1-3/2"),
    ("2 3 mm", "3 mm"),
    ("5' 14\"", "fewer than 12"),
    ("5' 12\"", "fewer than 12"),
    ("5.5' 3\"", "fewer than 12"),
    ("5' 3\" x", "x"),
    ("1. 1/2 in", "1/2 in"),
    ("²/3 in", "²/3"),
    ("\u0663 mm", "\u0663 mm"),
    ("about 3 mm", "about"),
    ("mm", "mm"),
    ("", "''"),
    ("   ", "''"),
]


@pytest.mark.parametrize(("text", "part"), REFUSED, ids=[case[0] for case in REFUSED])
def test_refuses(text, part):
    with pytest.raises(OutOfRange) as caught:
        read(text=text)
    assert caught.value.issues[0].code == "text_unreadable"
    assert part in caught.value.issues[0].message


def test_a_point_as_joint_is_told():
    assert read(text="1.1/2 in").joined_by_point
    assert read(text="1.1/2 in").magnitude == 1.5
    assert not read(text="1-1/2 in").joined_by_point


def test_length_of_the_text():
    assert read(text="1 " + "m" * (MAX_TEXT - 2)).magnitude == 1
    with pytest.raises(OutOfRange) as caught:
        read(text="1 " + "m" * (MAX_TEXT - 1))
    assert caught.value.issues[0].code == "text_too_long"


@given(
    feet=st.integers(1, 400),
    inches=st.integers(0, 11),
    top=st.integers(1, 63),
    form=st.sampled_from(
        ["{f}' {i}-{n}/{d}\"", "{f}'-{i} {n}/{d}\"", "{f} ft {i} {n}/{d} in", "{f}FT {i}-{n}/{d} IN."]
    ),
)
def test_feet_and_inches_are_their_sum(feet, inches, top, form):
    found = read(text=form.format(f=feet, i=inches, n=top, d=64))
    assert found.magnitude == float(12 * feet + inches + Fraction(top, 64))


@given(text=st.text(max_size=MAX_TEXT + 5))
def test_any_text_is_read_or_refused(text):
    try:
        found = read(text=text)
    except EngineeringError:
        return
    assert abs(found.magnitude) < float("inf")


@given(text=st.text(alphabet="0123456789 -/.,'\"½xinftm", max_size=14))
def test_reading_the_plain_form_again_gives_the_same(text):
    try:
        found = read(text=text)
    except EngineeringError:
        return
    if " ft " in found.plain:
        assert read(text=found.plain).magnitude == found.magnitude
    elif found.magnitude < 1000:
        assert read(text=f"{found.plain} mm").magnitude == found.magnitude
