"""Chain length: figures that combine two printed ones, and the limits of the relations."""

from __future__ import annotations

import pytest

from service.core.chain_length import centre_distance_exact, pitches_exact, touching_centre_distance
from service.core.errors import NoSolution, OutOfRange


def test_touching_wheels_stand_half_the_sum_of_two_printed_pitch_diameters_apart():
    # bhandari-3, example 14.4: 103.674 and 206.463 mm for 17 and 34 teeth of 19.05 mm pitch
    printed = (103.674 + 206.463) / 2 / 19.05
    assert touching_centre_distance(teeth_small=17, teeth_large=34) == pytest.approx(printed, abs=0.0005 / 19.05)


def test_a_wheel_inside_the_other_has_no_tangent():
    with pytest.raises(OutOfRange) as refused:
        pitches_exact(centre_distance_pitches=4.0, teeth_small=19, teeth_large=57)
    assert refused.value.issues[0].code == "centres_overlap"


def test_a_chain_that_does_not_go_round_is_refused():
    with pytest.raises(NoSolution) as refused:
        centre_distance_exact(pitch_count=40, teeth_small=19, teeth_large=57)
    assert refused.value.issues[0].code == "chain_too_short"
