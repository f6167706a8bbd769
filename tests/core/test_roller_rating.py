"""Ratings: what they refuse, at their limits and on both sides, and that the editions stay apart."""

from __future__ import annotations

from math import exp, inf, log, log10, nan, nextafter

import pytest

from service.core.errors import NoSolution, NotInReference, OutOfRange
from service.core.roller_rating import (
    SPEED_MAX_RPM,
    SPEED_MIN_RPM,
    TEETH_MAX,
    TEETH_MIN,
    check_rated_teeth,
    impact_power,
)
from service.core.roller_rating_newer import (
    NEWER_PITCH_MAX_IN,
    link_plate_power_newer,
    strand_rating_newer,
    table_end_newer,
)
from service.core.roller_rating_older import galling_speed_older, link_plate_power_older, strand_rating_older
from service.core.roller_rating_teeth import (
    teeth_for_impact,
    teeth_for_link_plate_newer,
    teeth_for_link_plate_older,
)

LINES = [link_plate_power_older, link_plate_power_newer, impact_power, strand_rating_older, strand_rating_newer]
PLACE = {"chain_class": "roller", "pitch_in": 0.75, "speed_rpm": 870.0}
POINT = {"chain_class": "roller", "pitch_in": 0.5, "teeth": 17, "speed_rpm": 900.0}


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize(
    ("change", "code", "limit"),
    [
        ({"teeth": 10}, "teeth_few", 11),
        ({"teeth": 46}, "teeth_many", 45),
        ({"teeth": 0}, "teeth_few", 11),
        ({"speed_rpm": 0.0}, "must_be_positive", 0.0),
        ({"speed_rpm": -1.0}, "must_be_positive", 0.0),
        ({"speed_rpm": inf}, "must_be_positive", 0.0),
        ({"speed_rpm": nextafter(SPEED_MIN_RPM, 0.0)}, "speed_below_table", 1.0),
        ({"speed_rpm": nextafter(SPEED_MAX_RPM, inf)}, "speed_beyond_table", 10_000.0),
        ({"speed_rpm": nan}, "must_be_positive", 0.0),
        ({"pitch_in": 0.0}, "must_be_positive", 0.0),
        ({"pitch_in": nan}, "must_be_positive", 0.0),
        ({"pitch_in": nextafter(0.5, 0.0)}, "pitch_beyond_table", 0.5),
        ({"chain_class": "bush"}, "pitch_beyond_table", 0.375),
        ({"chain_class": "bush", "pitch_in": 0.2}, "pitch_beyond_table", 0.25),
    ],
)
def test_a_point_outside_the_printed_ratings_is_refused(line, change, code, limit):
    with pytest.raises(OutOfRange) as refused:
        line(**{**POINT, **change})
    (issue,) = refused.value.issues
    assert (issue.code, issue.limit) == (code, limit)


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("teeth", [TEETH_MIN, TEETH_MAX])
def test_the_first_and_last_rated_tooth_count_are_allowed(line, teeth):
    assert line(**{**POINT, "teeth": teeth})


@pytest.mark.parametrize("speed", [SPEED_MIN_RPM, SPEED_MAX_RPM])
def test_the_slowest_and_fastest_rated_speed_are_allowed(speed):
    assert strand_rating_older(**{**POINT, "speed_rpm": speed}).power_hp > 0


@pytest.mark.parametrize(
    ("chain_class", "pitch_in"),
    [("bush", 0.25), ("bush", 0.375), ("roller", 0.5), ("roller", 3.0), ("lightweight", 0.5)],
)
def test_the_ends_of_each_rating_class_are_allowed(chain_class, pitch_in):
    rating = strand_rating_older(chain_class=chain_class, pitch_in=pitch_in, teeth=17, speed_rpm=100.0)
    assert rating.power_hp > 0


def test_too_few_teeth_are_answered_with_what_to_do():
    with pytest.raises(OutOfRange) as refused:
        check_rated_teeth(9)
    (issue,) = refused.value.issues
    assert issue.message == "9 teeth on the small wheel: the printed ratings begin at 11."
    assert issue.hint == "Take 11 teeth or more, 17 or more for a smooth drive."
    assert issue.received == 9


def test_more_teeth_than_rated_are_answered_with_the_lower_bound():
    with pytest.raises(OutOfRange) as refused:
        check_rated_teeth(57)
    assert refused.value.issues[0].hint == "The rating of 45 teeth at the same speed is a lower bound for more teeth."


def test_the_newer_edition_ends_at_the_largest_pitch_that_was_read():
    assert strand_rating_newer(**{**POINT, "pitch_in": NEWER_PITCH_MAX_IN})
    with pytest.raises(NotInReference) as refused:
        strand_rating_newer(**{**POINT, "pitch_in": nextafter(NEWER_PITCH_MAX_IN, 2.0)})
    (issue,) = refused.value.issues
    assert issue.code == "rating_not_available"
    assert issue.hint == "Ask for the older edition, which covers this size."


def test_no_41_is_rated_in_the_older_edition_only():
    assert strand_rating_older(**{**POINT, "chain_class": "lightweight"})
    for line in (link_plate_power_newer, strand_rating_newer):
        with pytest.raises(NotInReference) as refused:
            line(**{**POINT, "chain_class": "lightweight"})
        assert "No. 41" in refused.value.issues[0].message


def test_the_newer_rating_ends_at_the_end_of_the_table_and_not_before():
    end_rpm = 12.0 * table_end_newer(teeth=17) / (0.5 * 17)
    below = {**POINT, "speed_rpm": end_rpm * (1 - 1e-12)}
    assert strand_rating_newer(**below).governed_by == "impact"
    with pytest.raises(OutOfRange) as refused:
        strand_rating_newer(**{**below, "speed_rpm": end_rpm * (1 + 1e-12)})
    (issue,) = refused.value.issues
    assert issue.code == "speed_beyond_table"
    assert issue.limit == pytest.approx(end_rpm)
    assert "4630 ft/min" in issue.message


def test_the_end_of_the_newer_table_is_the_same_chain_speed_for_every_pitch():
    for pitch_in in (0.5, 0.75, 1.0):
        end_rpm = 12.0 * table_end_newer(teeth=25) / (pitch_in * 25)
        strand_rating_newer(chain_class="roller", pitch_in=pitch_in, teeth=25, speed_rpm=end_rpm * 0.999)
        with pytest.raises(OutOfRange):
            strand_rating_newer(chain_class="roller", pitch_in=pitch_in, teeth=25, speed_rpm=end_rpm * 1.001)


@pytest.mark.parametrize("rating", [strand_rating_older, strand_rating_newer])
def test_the_rating_is_the_smaller_line_and_names_it(rating):
    # No. 60, 17 teeth: both editions peak between 1000 and 1400 r/min
    slow = rating(chain_class="roller", pitch_in=0.75, teeth=17, speed_rpm=1000.0)
    fast = rating(chain_class="roller", pitch_in=0.75, teeth=17, speed_rpm=1400.0)
    assert (slow.governed_by, fast.governed_by) == ("link_plate", "impact")
    assert fast.power_hp == impact_power(chain_class="roller", pitch_in=0.75, teeth=17, speed_rpm=1400.0)


@pytest.mark.parametrize("required_hp", [70.4, 53.3])
def test_the_chain_that_a_printed_example_takes_is_the_first_that_carries_the_power(required_hp):
    """shigley-9, Example 17-5: No. 140 for 17 teeth at 300 r/min, with three strands as with four."""
    pitches_in = {"40": 0.5, "50": 0.625, "60": 0.75, "80": 1.0, "100": 1.25, "120": 1.5, "140": 1.75, "160": 2.0}
    carries = [
        number
        for number, pitch in pitches_in.items()
        if strand_rating_older(chain_class="roller", pitch_in=pitch, teeth=17, speed_rpm=300.0).power_hp >= required_hp
    ]
    assert carries[0] == "140"


INVERSES = [
    (teeth_for_link_plate_older, link_plate_power_older),
    (teeth_for_link_plate_newer, link_plate_power_newer),
    (teeth_for_impact, impact_power),
]


@pytest.mark.parametrize(("inverse", "line"), INVERSES)
@pytest.mark.parametrize("teeth", range(TEETH_MIN, TEETH_MAX + 1))
def test_exactly_the_rating_of_a_wheel_needs_that_wheel(inverse, line, teeth):
    power = line(teeth=teeth, **PLACE)
    assert inverse(power_hp=power, **PLACE) == teeth
    assert inverse(power_hp=nextafter(power, 0.0), **PLACE) == teeth
    if teeth < TEETH_MAX:
        assert inverse(power_hp=nextafter(power, inf), **PLACE) == teeth + 1


@pytest.mark.parametrize(("inverse", "line"), INVERSES)
def test_more_than_the_last_wheel_carries_has_no_solution(inverse, line):
    most = line(teeth=TEETH_MAX, **PLACE)
    with pytest.raises(NoSolution) as refused:
        inverse(power_hp=nextafter(most, inf), **PLACE)
    (issue,) = refused.value.issues
    assert (issue.code, issue.limit) == ("power_beyond_table", most)


@pytest.mark.parametrize("inverse", [inverse for inverse, _ in INVERSES])
def test_a_small_power_takes_the_first_rated_wheel(inverse):
    assert inverse(power_hp=1e-9, **PLACE) == TEETH_MIN


@pytest.mark.parametrize("inverse", [inverse for inverse, _ in INVERSES])
@pytest.mark.parametrize("power", [0.0, -1.0, inf, nan])
def test_no_power_is_refused(inverse, power):
    with pytest.raises(OutOfRange) as refused:
        inverse(power_hp=power, **PLACE)
    assert refused.value.issues[0].code == "must_be_positive"


@pytest.mark.parametrize("inverse", [inverse for inverse, _ in INVERSES])
def test_an_absurd_power_is_refused_and_does_not_overflow(inverse):
    with pytest.raises(NoSolution):
        inverse(power_hp=1e308, **PLACE)


def test_both_recalled_forms_of_the_galling_relation_are_one_relation():
    """The power form, solved for the tension, gives the tension at which the speed form allows just that speed."""
    pitch, teeth, speed = 0.75, 21, 2000.0
    bracket = 4.413 - 2.073 * pitch - 0.0274 * teeth - log(speed / 1000) * (1.59 * log10(pitch) + 1.873)
    power = speed * pitch * teeth / 110.84 * bracket
    tension = 33_000 * power / (teeth * pitch * speed / 12)
    limit = galling_speed_older(pitch_in=pitch, teeth=teeth, tension_lbf=tension)
    # the constants are recalled to four figures in one form and three in the other
    assert limit == pytest.approx(speed, rel=0.01)


def test_galling_comes_earlier_with_pull_and_has_its_limits():
    idle = galling_speed_older(pitch_in=1.0, teeth=17, tension_lbf=0.0)
    assert galling_speed_older(pitch_in=1.0, teeth=17, tension_lbf=1000.0) == pytest.approx(
        idle * exp(-log(1.323) / 1.873)
    )
    for change, code in (
        ({"pitch_in": 0.24}, "pitch_beyond_table"),
        ({"pitch_in": 3.1}, "pitch_beyond_table"),
        ({"pitch_in": nan}, "must_be_positive"),
        ({"tension_lbf": -1.0}, "must_not_be_negative"),
        ({"teeth": 10}, "teeth_few"),
    ):
        with pytest.raises(OutOfRange) as refused:
            galling_speed_older(**{"pitch_in": 1.0, "teeth": 17, "tension_lbf": 0.0, **change})
        assert refused.value.issues[0].code == code
