"""Identification over HTTP: situations from the counter, and what is sent wrongly, by table."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/identifications"


def mm(value: float, **more: Any) -> dict[str, Any]:
    return {"value": value, "unit": "mm", **more}


def inch(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "in"}


def over_ten(value_mm: float, **more: Any) -> dict[str, Any]:
    return {"length": mm(value_mm), "pitch_count": 10, **more}


def result(service, **body):
    response = service.post(PATH, body)
    assert response.status_code == 200, response.text
    return response.json()["result"]


def still_open(found: dict[str, Any]) -> set[str]:
    return {size["designation"] for size in found["not_separable"]}


def test_the_worn_sample_from_the_sorting_line(service):
    """Ten pitches 129.0 mm, roller 8.4, width 7.7: 08B with 129.0/127.0 - 1 = 1.57 %, and not 40."""
    found = result(service, **over_ten(129.0, roller_diameter=mm(8.4), inner_width=mm(7.7)))
    best = found["candidates"][0]
    assert (found["outcome"], found["designation"]) == ("identified", "08B")
    assert best["elongation_percent"] == pytest.approx(100 * (129.0 / 127.0 - 1), rel=1e-9)
    assert "roller_diameter" in {decisive["dimension"] for decisive in found["decided_by"]}


def test_look_alikes_are_not_told_apart_by_roller_and_width(service):
    """10B and 50 have one roller and nearly one width; plates are what is left to measure."""
    found = result(service, **over_ten(160.0, roller_diameter=mm(10.1), inner_width=mm(9.55)))
    assert found["outcome"] == "not_separable"
    assert still_open(found) == {"50", "10B"}
    assert "designation" not in found
    assert found["next_measurement"]["dimension"] in ("plate_height", "outer_plate_height", "plate_thickness")
    assert {entry["designation"] for entry in found["next_measurement"]["expected"]} == {"50", "10B"}


def test_equal_sizes_of_two_standards_are_one_candidate(service):
    found = result(service, **over_ten(254.2, roller_diameter=mm(15.8), inner_width=mm(15.9), plate_thickness=mm(3.1)))
    assert (found["designation"], found["candidates"][0]["also_listed_as"]) == ("80", ["16A"])


def test_plate_thickness_tells_the_heavy_series(service):
    body = over_ten(254.2, roller_diameter=mm(15.8), inner_width=mm(15.9))
    assert {"80", "80H"} <= still_open(result(service, **body))
    assert result(service, **body, plate_thickness=mm(4.0))["designation"] == "80H"


def test_units_may_be_mixed(service):
    mixed = result(service, length=inch(129 / 25.4), pitch_count=10, roller_diameter=mm(8.4), inner_width=inch(0.303))
    assert mixed["designation"] == "08B"


def test_narrow_forty_one_is_no_forty(service):
    assert result(service, **over_ten(127.3, roller_diameter=mm(7.8), inner_width=mm(6.4)))["designation"] == "41"


def test_leaf_chain_by_its_lacing(service):
    body = {
        **over_ten(256.0, pin_diameter=mm(9.5), plate_height=mm(23.9), plate_thickness=mm(4.05)),
        "pin_link_plates": 3,
        "articulating_plates": 4,
        "families": ["leaf"],
    }
    response = service.post(PATH, body).json()
    assert response["result"]["designation"] == "BL834"
    assert "competent_person" in {caution["code"] for caution in response["cautions"]}


def test_chains_of_equal_dimensions_stand_in_one_candidate_with_what_tells_them_apart(service):
    """WR78 and WH78 have the same dimensions; heat treatment and strength differ (ASME B29.16)."""
    body = over_ten(665.0, roller_diameter=mm(22.1), pin_diameter=mm(12.6), plate_height=mm(28.4))
    response = service.post(PATH, {**body, "families": ["welded_steel_mill"]})
    found = response.json()["result"]
    assert found["outcome"] == "equal_dimensions"
    assert "designation" not in found
    chains = {chain["designation"]: chain for chain in found["candidates"][0]["equal_chains"]}
    assert set(chains) == {"WR78", "WH78"}
    assert chains["WR78"]["series"] != chains["WH78"]["series"]
    strengths = {
        name: [figure["value"]["value"] for figure in chain["figures"] if "strength" in figure["quantity"]]
        for name, chain in chains.items()
    }
    assert strengths["WR78"] < strengths["WH78"]
    assert "equal_dimensions" in {warning["code"] for warning in response.json()["warnings"]}


def test_a_size_left_open_names_all_its_chains(service):
    """Chain of 10 x 30 is of grade 4 or 8 by EN 818-3 and EN 818-2, which no calliper tells apart."""
    response = service.post(PATH, {"wire_diameter": mm(9.9), "pitch": mm(30.1)}).json()
    chains = {size["designation"]: size.get("equal_chains", []) for size in response["result"]["not_separable"]}
    assert chains["EN 818-3 10"] == ["EN 818-3 10", "EN 818-2 10x30"]
    warned = [warning["message"] for warning in response["warnings"] if warning["code"] == "equal_dimensions"]
    assert any("EN 818-2 10x30" in message for message in warned)
    assert "competent_person" in {caution["code"] for caution in response["cautions"]}


def test_plates_that_were_counted_rule_out_what_is_not_laced(service):
    found = result(service, **over_ten(127.3), pin_link_plates=4, articulating_plates=4)
    assert {candidate["family"] for candidate in found["candidates"]} == {"leaf"}


def test_looks_are_asked_where_they_part_more_than_any_measurement(service):
    assert result(service, **over_ten(127.3))["next_measurement"]["dimension"] == "families"


def test_silent_chain_asks_for_what_pitch_and_width_do_not_tell(service):
    found = result(service, families=["silent"], **over_ten(127.3, chain_width=mm(25.3)))
    assert {"guide_type", "joint_type", "link_form"} <= set(found["missing"])
    told = result(service, families=["silent"], guide_type="centre", **over_ten(127.3, chain_width=mm(25.3)))
    assert "guide_type" not in told["missing"]


def test_a_wheel_alone(service):
    """Wheel of 17 teeth for chain 80: outside diameter p(0.6 + cot(180/17)) = 5.95 in; 16B and 80 share the form."""
    found = result(
        service, sprocket={"teeth": 17, "outside_diameter": inch(5.95), "caliper_diameter": inch(4.79)}, units="inch"
    )
    assert {"80", "16B"} <= still_open(found)
    narrow = {"teeth": 17, "outside_diameter": inch(5.95), "caliper_diameter": inch(4.79), "tooth_width": inch(0.64)}
    assert result(service, sprocket=narrow)["designation"] == "16B"


def test_worn_tips_are_tolerated(service):
    found = result(service, sprocket={"teeth": 17, "outside_diameter": inch(5.80), "caliper_diameter": inch(4.78)})
    assert "80" in still_open(found)


def test_every_figure_names_its_source(service):
    answer = service.post(PATH, over_ten(129.0, roller_diameter=mm(8.4), inner_width=mm(7.7))).json()
    for candidate in answer["result"]["candidates"]:
        for dimension in candidate["dimensions"]:
            assert dimension["provenance"]["source_id"]
    assert "common-practice" in {source["id"] for source in answer["sources"]}


SAMPLE = {"roller_diameter": mm(8.45), "inner_width": mm(7.8)}
WARNED = [
    # what was sent, body, code, word of the message
    ("one worn joint", {"pitch": mm(13.1)}, "single_pitch_measured", "ten pitches"),
    ("a length for a pitch", {"pitch": mm(129.0)}, "length_in_pitch_field", "over 10 pitches, which fits 41, 40, 08B"),
    ("a pair of links", {"pitch": mm(25.8)}, "link_pair_suspect", "pins"),
    ("pins for pitches", {"length": mm(127.6), "pitch_count": 11, **SAMPLE}, "pins_not_pitches_suspect", "08B"),
    ("worn beyond use", over_ten(133.4, **SAMPLE), "worn_beyond_use", "5.04 %"),
    ("shorter than any", over_ten(123.2, **SAMPLE), "shorter_than_nominal", "2.99 %"),
    ("roller and width exchanged", over_ten(127.5, roller_diameter=mm(7.75), inner_width=mm(8.51)),
     "fields_swapped_suspect", "08B"),
    ("outer width for inner", over_ten(127.5, roller_diameter=mm(8.5), pin_diameter=mm(4.4), inner_width=mm(11.3)),
     "fields_swapped_suspect", "outside of the plates"),
    ("millimetres as inches", {"length": inch(127.5), "pitch_count": 10, "roller_diameter": inch(8.45),
                               "inner_width": inch(7.8)}, "unit_suspect", "08B"),
    ("inches as millimetres", {"length": mm(5.02), "pitch_count": 10, "roller_diameter": mm(0.333),
                               "inner_width": mm(0.307)}, "unit_suspect", "08B"),
    ("uncertainty of 5 mm", over_ten(127.5, roller_diameter=mm(8.4, uncertainty=5)), "measurement_too_coarse", "5 mm"),
    ("uncertainty zero", over_ten(127.5, roller_diameter=mm(8.4, uncertainty=0)), "uncertainty_floor_applied", "0.02"),
    ("two strands, no spacing", over_ten(254.2, roller_diameter=mm(15.8), strand_count=2),
     "transverse_pitch_missing", "strand centres"),
    ("spacing equal to pitch", over_ten(254.0, roller_diameter=mm(15.8), strand_count=2, transverse_pitch=mm(25.4)),
     "fields_swapped_suspect", "transverse pitch"),
    ("silent chain", over_ten(127.3, families=["silent"], chain_width=mm(25.3)), "fields_missing", "guide"),
    ("width over the pin heads", over_ten(254.5, families=["silent"], guide_type="centre", chain_width=mm(80.5)),
     "width_reference_suspect", "heads"),
    ("lacing 7 x 3", over_ten(254.0, families=["leaf"], pin_diameter=mm(9.5), pin_link_plates=7, articulating_plates=3),
     "lacing_inconsistent", "7 x 3"),
    ("worn barrel", over_ten(670.0, families=["welded_steel_mill"], roller_diameter=mm(20.5), pin_diameter=mm(12.4)),
     "barrel_wear_assumed", "barrel"),
    ("stamp of another size", over_ten(129.0, stamp="80", **SAMPLE), "stamp_conflict", "80"),
    ("stamp half gone", over_ten(129.0, stamp="..0H", **SAMPLE), "stamp_unread", "stamp"),
]  # fmt: skip


@pytest.mark.parametrize(("what", "body", "code", "word"), WARNED, ids=[case[0] for case in WARNED])
def test_doubts_are_told(service, what, body, code, word):
    response = service.post(PATH, body)
    assert response.status_code == 200, (what, response.text)
    messages = [warning["message"] for warning in response.json()["warnings"] if warning["code"] == code]
    assert any(word in message for message in messages), (what, response.json()["warnings"])


REFUSED = [
    ("ten pitches in the pitch field", {"pitch": mm(129.0), "roller_diameter": mm(8.4)}, "length_in_pitch_field",
     "/pitch", "10 pitches"),
    ("roller wider than the pitch", {"pitch": mm(12.7), "roller_diameter": mm(15.9)}, "geometry_impossible",
     "/roller_diameter", "15.9"),
    ("pin thicker than the roller", {"roller_diameter": mm(5), "pin_diameter": mm(5)}, "geometry_impossible",
     "/pin_diameter", "roller"),
    ("plate lower than the pin", {"plate_height": mm(5), "pin_diameter": mm(6)}, "geometry_impossible",
     "/pin_diameter", "plate"),
    ("roller zero", {"roller_diameter": mm(0)}, "family_needed", "/roller_diameter", "which kind of chain"),
    ("roller zero of leaf chain", {"pitch": mm(25.4), "roller_diameter": mm(0), "families": ["leaf"]}, "family_needed",
     "/roller_diameter", "no dimension"),
    ("roller below zero", {"roller_diameter": mm(-8)}, "must_not_be_negative", "/roller_diameter/value", "roller"),
    ("nothing measured", {"condition": "worn"}, "field_required", "", "Nothing"),
    ("length without count", {"length": mm(129)}, "field_required", "/pitch_count", "pitches"),
    ("count without length", {"pitch_count": 10}, "field_required", "/length", "length"),
    ("pitch twice", {"pitch": mm(12.7), "length": mm(129), "pitch_count": 10}, "over_determined", "/pitch", "twice"),
    ("pins and pitches apart", {"length": mm(129), "pitch_count": 10, "pins_counted": 13}, "over_determined",
     "/pins_counted", "12"),
    ("one pin", {"length": mm(129), "pins_counted": 1}, "pins_below_two", "/pins_counted", "two pins"),
    ("teeth alone", {"sprocket": {"teeth": 17}}, "field_required", "/sprocket/outside_diameter", "outside"),
    ("half a tooth", {"sprocket": {"teeth": 17.5, "outside_diameter": mm(150)}}, "must_be_whole", "/sprocket/teeth",
     "whole"),
    ("unit missing", {"pitch": {"value": 12.7}}, "unit_missing", "/pitch/unit", "unit"),
    ("a photograph", {"image": "aGVsbG8="}, "image_not_supported", "/image", "pictures"),
    ("family of another language", {"pitch": mm(12.7), "families": ["Rollenkette"]}, "enum_unknown", "/families/0",
     "Rollenkette"),
]  # fmt: skip


@pytest.mark.parametrize(("what", "body", "code", "pointer", "word"), REFUSED, ids=[case[0] for case in REFUSED])
def test_refused(service, what, body, code, pointer, word):
    response = service.post(PATH, body)
    assert response.status_code == 422, (what, response.text)
    faults = {(fault["code"], fault["pointer"]): fault["message"] for fault in response.json()["errors"]}
    assert (code, pointer) in faults, (what, faults)
    assert word in faults[code, pointer]


OPEN = [
    ("pitch alone", {"pitch": mm(12.7)}, {"40", "41", "08B"}),
    ("roller alone", {"roller_diameter": mm(10.16)}, {"50", "10B"}),
]


@pytest.mark.parametrize(("what", "body", "among"), OPEN, ids=[case[0] for case in OPEN])
def test_too_little_is_answered_with_what_to_measure_next(service, what, body, among):
    found = result(service, **body)
    assert found["outcome"] == "not_separable", what
    assert among <= still_open(found)
    assert found["next_measurement"]["how"]


def test_nothing_fits_is_an_answer(service):
    found = result(service, **over_ten(333.0, roller_diameter=mm(8.4), inner_width=mm(30)))
    assert found["outcome"] == "no_match"
    assert 0 < len(found["candidates"]) <= 3
    assert all(not candidate["fits"] for candidate in found["candidates"])
    assert all(any(not dimension["fits"] for dimension in candidate["dimensions"]) for candidate in found["candidates"])
