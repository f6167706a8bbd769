"""What a run of a conveyor asks of the request, and what stands in no answer because it would be no figure."""

from __future__ import annotations

from math import pi

import pytest

from service.core.conveyor_friction import dragged_pull
from tests.api.conveyor_cases import PATH, body, elevator, load, of, run, strong

FREE_FALL_M_S2 = 9.80665


def test_walls_of_an_inclined_trough_press_with_the_cosine(service):
    """trade-conveyor-method, Table 1: the print takes the horizontal projection for chain, material and walls alike."""
    up, down = of(5, "deg"), of(-5, "deg")
    answer = service.post(
        PATH,
        body(
            path=[run(15, incline=down), run(15, incline=up, loaded=True)],
            load={
                "carried": "in_trough",
                "load_per_length": of(35, "kg/m"),
                "friction": 0.6,
                "walls": {"depth": of(300, "mm"), "constant": 9},
            },
            chains={"friction": 0.33},
            own_chain=strong(12),
        ),
    ).json()
    # 15 cos 5 degrees and 15 sin 5 degrees.
    printed_kgf = dragged_pull(
        horizontal_m=14.942920471376183,
        rise_m=1.3073361412148725,
        moving_mass_kg_m=12,
        load_mass_kg_m=35,
        chain_friction=0.33,
        load_friction=0.6,
        wall_load_kg_m=10,
    )
    tension = answer["result"]["chains"][0]["option"]["greatest_tension"]["value"]
    assert tension == pytest.approx(FREE_FALL_M_S2 * printed_kgf, rel=1e-9)


RESTS_NOWHERE = [
    ("straight up and down", elevator(chains={})),
    ("lift told in place of the angle", elevator(path=[run(9, lift=of(-9, "m")), run(9, lift=of(9, "m"))], chains={})),
    ("free spans", body(path=[run(3, supported=False), run(3, supported=False, loaded=True)], chains={})),
    ("frictions of their own", body(path=[run(3, chain_friction=0.1), run(3, chain_friction=0.2)], chains={})),
]


@pytest.mark.parametrize(("what", "sent"), RESTS_NOWHERE, ids=[case[0] for case in RESTS_NOWHERE])
def test_no_friction_is_asked_where_no_run_needs_it(service, what, sent):
    response = service.post(PATH, sent)
    assert response.status_code == 200, (what, response.json())
    assert not [one for one in response.json()["warnings"] if one["code"] == "friction_zero"]


def test_one_run_on_its_track_asks_for_the_friction(service):
    response = service.post(PATH, body(path=[run(3, chain_friction=0.1), run(3, incline=of(89, "deg"))], chains={}))
    assert response.status_code == 422
    assert [issue["code"] for issue in response.json()["errors"]] == ["friction_missing"]


@pytest.mark.parametrize("chain", ["DIN 764 10x35", "BL834"])
def test_a_chain_that_the_wheel_cannot_drive_gets_no_figures(service, chain):
    """A toothed wheel has a pitch diameter for chain with rollers or bushes; for links and plates it has none."""
    asked = body(own_chain=None, choice={"chains": [chain]}, chains={"friction": 0.2, "mass_per_length": of(3, "kg/m")})
    result = service.post(PATH, asked).json()["result"]
    assert result["chains"] == []
    assert result["rejected"] == [{"reason": "wheel_unsuitable", "count": 1}]


def test_a_pocket_wheel_is_told_by_its_pockets(service):
    """6 pockets take 12 links of 28 mm a turn, 336 mm: at 0.5 m/s 89.29 r/min; torque times speed is the power."""
    asked = body(own_chain=None, choice={"chains": ["DIN 766 10x28"]}, head_wheel={"kind": "pocket", "teeth": 6})
    found = service.post(PATH, asked).json()["result"]["chains"][0]["option"]
    assert found["head_speed"]["value"] == pytest.approx(60 * 0.5 / 0.336)
    turning = found["head_torque"]["value"] * found["head_speed"]["value"] * 2 * pi / 60
    assert turning == pytest.approx(1000 * found["head_power"]["value"])


def test_of_chains_that_score_alike_the_smaller_comes_first(service):
    """With one mass for all, chains of one family and one source differ by their strength alone."""
    asked = body(own_chain=None, chains={"friction": 0.2, "mass_per_length": of(15, "kg/m")}, limit=50)
    ranked = service.post(PATH, asked).json()["result"]["chains"]
    order = [(one["score"], -one["option"]["utilisation"]) for one in ranked]
    assert order == sorted(order)


def test_no_chain_is_judged_cold_where_it_is_hot(service):
    hot = {"temperature": of(900, "degC")}
    refused = service.post(PATH, body(rules=hot)).json()["result"]
    assert refused["chains"] == []
    assert refused["profile"]["states"]
    told = service.post(PATH, body(rules={**hot, "temperature_factor": 0.2})).json()["result"]
    limits = {limit["limit"]: limit["allowed"]["value"] for limit in told["chains"][0]["option"]["limits"]}
    assert limits["static_strength"] == pytest.approx(0.2 * 900_000_000 / 7)


def test_loads_are_written_without_exponent(service):
    answer = service.post(PATH, body(load=load(load_per_length=None, throughput=of(90_000, "t/h")))).json()
    message = next(one["message"] for one in answer["warnings"] if one["code"] == "throughput_suspect")
    assert "50000 kg on each metre" in message
