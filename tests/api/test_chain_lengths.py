"""Chain lengths over HTTP: wiring, and wrong input by table; numbers are owned by tests/published and tests/core."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/chain-lengths"
MM = "mm"


def body(**changes: Any) -> dict[str, Any]:
    sound = {
        "own_chain": {"pitch": {"value": 25.4, "unit": "mm"}},
        "driver_teeth": 19,
        "driven_teeth": 57,
        "centre_distance": {"value": 800, "unit": "mm"},
    }
    return {name: value for name, value in {**sound, **changes}.items() if value is not None}


def test_length_and_centres_belong_together(service):
    answer = service.post(PATH, body()).json()["result"]
    again = service.post(PATH, body(centre_distance=answer["centre_distance"])).json()["result"]
    assert again["length_exact_pitches"] == pytest.approx(answer["pitch_count"], abs=1e-9)


def test_inch_and_metric_requests_are_the_same_case(service):
    metric = service.post(PATH, body()).json()["result"]
    inch = service.post(
        PATH,
        body(own_chain={"pitch": {"value": 1, "unit": "in"}}, centre_distance={"value": 800 / 25.4, "unit": "in"}),
    ).json()["result"]
    assert inch["length_exact_pitches"] == pytest.approx(metric["length_exact_pitches"], rel=1e-11)


def test_working_shows_each_equation(service):
    working = service.post(PATH, body(working="full")).json()["working"]
    assert {"chain_length.pitches_exact", "chain_length.pitches_approximate"} <= {step["equation"] for step in working}


CASES = [
    # what is wrong, changes, status, code, word that the message must hold
    ("centres zero", {"centre_distance": {"value": 0, "unit": MM}}, 422, "must_be_positive", "centre distance"),
    ("circles overlap", {"centre_distance": {"value": 300, "unit": MM}}, 422, "centres_overlap", "overlap"),
    ("inch typed as mm", {"centre_distance": {"value": 31.5, "unit": MM}}, 422, "centres_overlap", "31.5"),
    (
        "odd count asked",
        {"centre_distance": None, "pitch_count": 101},
        200,
        "odd_pitch_count",
        "offset link",
    ),
    (
        "fraction of a pitch",
        {"centre_distance": None, "pitch_count": 102.15},
        422,
        "must_be_whole",
        "pitch count",
    ),
    ("fraction of a tooth", {"driver_teeth": 17.5}, 422, "must_be_whole", "driver teeth"),
    ("too few pitches", {"centre_distance": None, "pitch_count": 40}, 422, "chain_too_short", "40"),
    ("both ways given", {"pitch_count": 102}, 422, "over_determined", "only one"),
    ("no way given", {"centre_distance": None}, 422, "field_required", "centre_distance"),
    (
        "range reversed",
        {
            "centre_distance": None,
            "minimum_centre_distance": {"value": 900, "unit": MM},
            "maximum_centre_distance": {"value": 800, "unit": MM},
        },
        422,
        "range_reversed",
        "900",
    ),
    (
        "range without an even count",
        {
            "centre_distance": None,
            "minimum_centre_distance": {"value": 800, "unit": MM},
            "maximum_centre_distance": {"value": 802, "unit": MM},
        },
        422,
        "no_even_solution",
        "even",
    ),
    ("long centres", {"centre_distance": {"value": 20, "unit": "m"}}, 200, "centres_long", "guides"),
    ("inch typed as mm, other unit named", {"centre_distance": {"value": 31.5, "unit": MM}}, 422, "unit_suspect", "in"),
    ("mm typed as inch", {"centre_distance": {"value": 800, "unit": "in"}}, 200, "unit_suspect", "800 mm"),
    ("tooth tips touch", {"centre_distance": {"value": 316, "unit": MM}}, 422, "teeth_would_touch", "tips"),
    ("count beyond usual centres", {"centre_distance": None, "pitch_count": 400}, 200, "centres_long", "guides"),
    (
        "ratio and centres leave little wrap",
        {"driver_teeth": 11, "driven_teeth": 90, "centre_distance": {"value": 440, "unit": MM}},
        200,
        "wrap_small",
        "120",
    ),
    ("no sag", {"sag_percent": 0}, 200, "no_slack", "sag"),
    ("no sag as a length", {"sag": {"value": 0, "unit": MM}}, 200, "no_slack", "sag"),
    ("sag of 60 per cent", {"sag_percent": 60}, 200, "sag_excessive", "60"),
    ("per cent in the field of a length", {"sag": {"value": 2, "unit": MM}}, 200, "unit_suspect", "per cent"),
    ("sag twice", {"sag_percent": 2, "sag": {"value": 16, "unit": MM}}, 422, "over_determined", "sag"),
]


@pytest.mark.parametrize(("what", "changes", "status", "code", "word"), CASES, ids=[case[0] for case in CASES])
def test_wrong_input(service, what, changes, status, code, word):
    response = service.post(PATH, body(**changes))
    answer = response.json()
    listed = answer["errors"] if status >= 400 else answer["warnings"]
    assert response.status_code == status, (what, answer)
    messages = [entry["message"] for entry in listed if entry["code"] == code]
    assert messages, (what, listed)
    assert any(word in message for message in messages), messages


def test_teeth_may_be_given_in_either_order(service):
    one = service.post(PATH, body()).json()["result"]
    other = service.post(PATH, body(driver_teeth=57, driven_teeth=19)).json()["result"]
    assert one == other


def test_a_sag_takes_the_length_that_the_chain_has_beyond_its_straight_way(service):
    """The parabola 8 f^2/(3 a) is an independent route to the catenary's excess at a small sag."""
    tight = service.post(PATH, body()).json()["result"]
    slack = service.post(PATH, body(sag_percent=2)).json()["result"]["slack"]
    sag, span = slack["sag"]["value"], slack["sag"]["value"] / 0.02
    assert slack["excess_length"]["value"] == pytest.approx(8 * sag**2 / (3 * span), rel=1e-3)
    closer = tight["centre_distance"]["value"] - slack["installed_centre_distance"]["value"]
    # Two straight strands give up the excess between them, so the centres come closer by about half of it.
    assert closer == pytest.approx(slack["excess_length"]["value"] / 2, rel=0.05)


def test_a_fraction_of_a_pitch_is_answered_with_the_counts_beside_it(service):
    body = {"chain": "16B", "driver_teeth": 19, "driven_teeth": 57, "pitch_count": 102.15}
    (fault,) = service.post("/v1/chain-lengths", body).json()["errors"]
    assert fault["hint"] == "Send 102 or 103."
