"""Silent chain: numbers that must not be misread, rules at their edges, interpolation, recalled diameters."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import silent_rating, silent_sprocket
from service.core.errors import NotInReference, OutOfRange
from service.core.silent_rating import RatingPoint


@pytest.mark.parametrize("number", ["SC300", "SC05", "SC", "SC0300", "SC702", "SC1112", "302", "sc302", "SC30"])
def test_texts_that_are_no_number_are_refused(number: str) -> None:
    with pytest.raises(NotInReference) as refused:
        silent_rating.size_of_number(number=number)
    assert refused.value.issues[0].code == "designation_unknown"


@pytest.mark.parametrize(
    ("number", "pitch", "width"), [("SC1012", 1.25, 3.0), ("SC16120", 2.0, 30.0), ("SC8120", 1.0, 30.0)]
)
def test_numbers_that_a_careless_cut_misreads(number: str, pitch: float, width: float) -> None:
    size = silent_rating.size_of_number(number=number)
    assert (size.pitch_in, size.width_in) == (pitch, width)


def test_the_guide_changes_exactly_at_two_pitches() -> None:
    assert silent_rating.guide_rule(pitch_in=0.5, width_in=1.0) == "centre"
    assert silent_rating.guide_rule(pitch_in=0.5, width_in=0.999) == "side_or_centre"
    assert silent_rating.guide_rule(pitch_in=0.1875, width_in=1.0) == "side_or_centre"


def test_the_small_class_has_its_own_width_limit() -> None:
    assert silent_rating.greatest_width(pitch_in=0.1875) == pytest.approx(1.5)


def plane(teeth: float, speed: float) -> float:
    return 0.3 + 0.02 * teeth + 0.004 * speed


POINTS = [
    RatingPoint(teeth=teeth, speed_rpm=speed, power_hp_per_in=plane(teeth, speed))
    for teeth in (17, 21, 25)
    for speed in (100, 500, 1200)
]


@given(teeth=st.integers(17, 25), speed=st.floats(100, 1200))
def test_a_plane_is_interpolated_exactly(teeth: int, speed: float) -> None:
    found = silent_rating.rating_per_width(teeth=teeth, speed_rpm=speed, points=POINTS)
    assert found == pytest.approx(plane(teeth, speed))


@pytest.mark.parametrize(("teeth", "speed"), [(16, 500), (26, 500), (21, 99.9), (21, 1200.1)])
def test_outside_the_table_there_is_no_rating(teeth: int, speed: float) -> None:
    with pytest.raises(OutOfRange) as refused:
        silent_rating.rating_per_width(teeth=teeth, speed_rpm=speed, points=POINTS)
    assert refused.value.issues[0].code == "outside_table"


def test_an_empty_table_gives_no_rating() -> None:
    with pytest.raises(OutOfRange):
        silent_rating.rating_per_width(teeth=21, speed_rpm=500, points=[])


def test_width_grows_with_power() -> None:
    design = silent_rating.design_power(power_hp=10, service_factor=1.4)
    assert silent_rating.required_width(design_power_hp=design, rating_hp_per_in=7) == pytest.approx(2.0)


@given(pitch=st.floats(0.375, 2), teeth=st.integers(17, 120))
def test_sprocket_diameters_nest_in_each_other(pitch: float, teeth: int) -> None:
    values = {"pitch_in": pitch, "teeth": teeth}
    groove = silent_sprocket.guide_groove_diameter(**values)
    hobbed = silent_sprocket.hub_diameter(**values, cutting="hobbed")
    milled = silent_sprocket.hub_diameter(**values, cutting="milled")
    square = silent_sprocket.outside_diameter_square_teeth(**values)
    rounded = silent_sprocket.outside_diameter_round_teeth(**values)
    over_chain = 2 * silent_sprocket.radius_over_chain(**values)
    assert hobbed < milled < groove + pitch
    assert groove < square < over_chain
    assert groove < rounded < over_chain


@given(pitch=st.floats(0.375, 2), teeth=st.integers(17, 120))
def test_diameters_grow_in_proportion_to_the_pitch(pitch: float, teeth: int) -> None:
    for relation in (
        silent_sprocket.outside_diameter_round_teeth,
        silent_sprocket.outside_diameter_square_teeth,
        silent_sprocket.measurement_over_pins,
        silent_sprocket.guide_groove_diameter,
        silent_sprocket.radius_over_chain,
    ):
        assert relation(pitch_in=pitch, teeth=teeth) == pytest.approx(pitch * relation(pitch_in=1.0, teeth=teeth))


def test_twelve_teeth_are_refused() -> None:
    silent_sprocket.outside_diameter_square_teeth(pitch_in=1, teeth=13)
    with pytest.raises(OutOfRange):
        silent_sprocket.outside_diameter_square_teeth(pitch_in=1, teeth=12)
