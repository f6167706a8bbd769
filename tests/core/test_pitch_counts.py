"""Whole pitch counts by brute force, and the worked case of a conveyor lengthened by three metres."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.errors import OutOfRange
from service.core.pitch_counts import (
    common_multiple,
    extension_choices,
    neighbours,
    phase_error,
    pitches_for_extension,
    pitches_in_length,
)


@pytest.mark.parametrize(
    ("feet", "pitch_mm", "pitches"),
    [(10, 15.875, 192), (10, 19.05, 160), (15, 12.7, 360), (10, 12.7, 240), (10, 25.4, 120), (1, 9.525, 32)],
)
def test_whole_numbers_in_feet_are_whole(feet: float, pitch_mm: float, pitches: int) -> None:
    found = pitches_in_length(length_mm=feet * 304.8, pitch_mm=pitch_mm)
    assert found == pitches
    assert neighbours(pitches=found, multiple=2) == (pitches, pitches)


@pytest.mark.parametrize(("length", "pitch"), [(1e9, 1e-300), (1.1e9, 1), (-1.1e9, 1)])
def test_more_pitches_than_any_chain_has_are_refused(length: float, pitch: float) -> None:
    for call in (
        lambda: pitches_in_length(length_mm=length, pitch_mm=pitch),
        lambda: pitches_for_extension(extension_mm=length, runs=1, pitch_mm=pitch),
    ):
        with pytest.raises(OutOfRange) as refused:
            call()
        assert refused.value.issues[0].code == "number_out_of_range"
    assert pitches_in_length(length_mm=1e9, pitch_mm=1) == 1e9


def test_a_length_between_whole_pitches_stays_what_it_is() -> None:
    assert pitches_in_length(length_mm=1000, pitch_mm=12.7) == pytest.approx(78.7402, abs=5e-5)


@given(st.floats(-1e4, 1e4), st.integers(1, 40))
def test_neighbours_are_the_nearest_multiples_by_search(pitches: float, multiple: int) -> None:
    below, above = neighbours(pitches=pitches, multiple=multiple)
    assert below % multiple == 0
    assert above % multiple == 0
    slip = 1e-9 * max(1.0, abs(pitches))
    assert below - multiple * slip <= pitches + multiple * slip
    assert above + multiple * slip >= pitches - multiple * slip
    assert above - below in (0, multiple)


@given(st.booleans(), st.integers(1, 60))
def test_the_common_multiple_is_the_first_number_that_serves_both(even: bool, spacing: int) -> None:  # noqa: FBT001
    step = 2 if even else 1
    expected = next(n for n in range(1, 200) if n % step == 0 and n % spacing == 0)
    assert common_multiple(even=even, spacings=(spacing,)) == expected
    assert common_multiple(even=even, spacings=()) == step


@given(st.lists(st.integers(1, 12), min_size=1, max_size=4))
def test_the_common_multiple_of_several_spacings_is_the_first_number_that_serves_all(spacings: list[int]) -> None:
    expected = next(n for n in range(1, 30_000) if all(n % spacing == 0 for spacing in spacings))
    assert common_multiple(even=False, spacings=tuple(spacings)) == expected


def test_three_metres_at_six_inch_pitch() -> None:
    """2 x 3000/152.4 = 39.37: 40 pitches are 6096 mm and 3048 mm of conveyor; 38 are 5791.2 and 2895.6."""
    exact = pitches_for_extension(extension_mm=3000, runs=2, pitch_mm=152.4)
    assert exact == pytest.approx(39.37, abs=5e-3)
    choices = extension_choices(extension_mm=3000, runs=2, pitch_mm=152.4, attachment_spacing=4, alternating=True)
    figures = {c.pitch_count: (c.chain_length_mm, c.extension_mm, c.even, c.pattern_kept) for c in choices}
    assert figures[40] == pytest.approx((6096, 3048, True, True))
    assert figures[38] == pytest.approx((5791.2, 2895.6, True, False))
    assert figures[36] == pytest.approx((5486.4, 2743.2, True, True))
    assert list(figures) == [36, 38, 40]


def test_without_attachments_two_choices_stand() -> None:
    choices = extension_choices(extension_mm=3000, runs=2, pitch_mm=152.4, attachment_spacing=None, alternating=True)
    assert [(c.pitch_count, c.pattern_kept) for c in choices] == [(38, True), (40, True)]


def test_an_extension_that_is_met_exactly_is_one_choice() -> None:
    choices = extension_choices(extension_mm=3048, runs=2, pitch_mm=152.4, attachment_spacing=4, alternating=True)
    assert [c.pitch_count for c in choices] == [40]


def test_shortening_is_the_mirror_of_lengthening() -> None:
    out = extension_choices(extension_mm=3000, runs=2, pitch_mm=152.4, attachment_spacing=4, alternating=True)
    back = extension_choices(extension_mm=-3000, runs=2, pitch_mm=152.4, attachment_spacing=4, alternating=True)
    assert [-c.pitch_count for c in reversed(back)] == [c.pitch_count for c in out]


@given(st.floats(-1e5, 1e5), st.integers(1, 4), st.floats(5, 500), st.integers(1, 30))
def test_every_choice_is_even_and_the_asked_extension_lies_between(
    extension: float, runs: int, pitch: float, spacing: int
) -> None:
    choices = extension_choices(
        extension_mm=extension, runs=runs, pitch_mm=pitch, attachment_spacing=spacing, alternating=True
    )
    assert all(c.even for c in choices)
    assert any(c.pattern_kept for c in choices)
    slip = 1e-7 * (abs(extension) + pitch * spacing)
    assert choices[0].extension_mm <= extension + slip
    assert choices[-1].extension_mm >= extension - slip
    assert all(c.chain_length_mm == pytest.approx(c.extension_mm * runs) for c in choices)


def test_links_that_are_all_alike_join_at_any_count() -> None:
    choices = extension_choices(extension_mm=3000, runs=2, pitch_mm=152.4, attachment_spacing=5, alternating=False)
    assert [(c.pitch_count, c.even, c.pattern_kept) for c in choices] == [
        (35, False, True),
        (39, False, False),
        (40, True, True),
    ]


def test_new_chain_against_worn() -> None:
    """40 pitches of 152.4 mm are 6096 mm new; worn by 2 % they are 6217.92 mm."""
    assert phase_error(pitch_count=40, pitch_mm=152.4, elongation_percent=2) == pytest.approx(6217.92 - 6096)
    assert phase_error(pitch_count=0, pitch_mm=152.4, elongation_percent=0) == 0


@pytest.mark.parametrize("spacing", [0, -4])
def test_a_spacing_below_one_is_refused(spacing: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        common_multiple(even=True, spacings=(3, spacing))
    assert refused.value.issues[0].code == "spacing_invalid"


@pytest.mark.parametrize(
    "call",
    [
        lambda: pitches_in_length(length_mm=1, pitch_mm=0),
        lambda: pitches_in_length(length_mm=float("nan"), pitch_mm=1),
        lambda: neighbours(pitches=4, multiple=0),
        lambda: pitches_for_extension(extension_mm=1, runs=0, pitch_mm=1),
        lambda: phase_error(pitch_count=-1, pitch_mm=1, elongation_percent=1),
        lambda: phase_error(pitch_count=1, pitch_mm=1, elongation_percent=-1),
    ],
)
def test_impossible_figures_are_refused(call: object) -> None:
    with pytest.raises(OutOfRange):
        call()  # type: ignore[operator]
