"""Silent-chain drives over HTTP, sized and checked; ratings are recalled and never expected values here."""

from __future__ import annotations

from math import pi, sin
from typing import Any

import msgspec
import pytest

from service.api.drive_checks import DriveCheckRequest
from service.api.drive_sizings import DriveSizingRequest
from service.core.silent_rating import rating_per_width
from service.reference.catalogue import load_reference
from tests.api.drive_cases import MOTOR, Wrong, assert_told, kw, mm, quantity, rpm, without_none
from tests.api.pointers import points_into

SIZE = "/v1/drive-sizings"
CHECK = "/v1/drive-checks"
REFERENCE = load_reference()
SILENT = REFERENCE.factors.silent
GENERATION = "b29.2m-1982"
KW_PER_HP = 0.745699871582

FAN = {"driven_machine": "fan, centrifugal", "prime_mover_class": "II"}


def sizing(duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    sound = {
        "chain_kind": "silent",
        "duty": without_none({"power": kw(30), "driver_speed": rpm(1450), "ratio": 2, **(duty or {})}),
        "silent_load": FAN,
        "centre_distance": mm(900),
    }
    return without_none({**sound, **changes})


def checking(duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    sound = {
        "chain": "SC608",
        "driver_teeth": 21,
        "driven_teeth": 42,
        "duty": without_none({"power": kw(15), "driver_speed": rpm(1000), **(duty or {})}),
        "silent_load": FAN,
        "centre_distance": mm(800),
    }
    return without_none({**sound, **changes})


def ask(service: Any, path: str, body: dict[str, Any]) -> dict[str, Any]:
    response = service.post(path, body)
    assert response.status_code == 200, response.json()
    return dict(response.json())


def drives(answer: dict[str, Any]) -> list[dict[str, Any]]:
    return [ranked["drive"] for ranked in answer["result"]["silent"]["drives"]]


def rating(pitch_in: float, teeth: int, speed_rpm: float) -> float:
    return rating_per_width(teeth=teeth, speed_rpm=speed_rpm, points=SILENT.rating_points(pitch_in, GENERATION))


def test_every_answer_names_the_generation_and_says_that_its_ratings_are_recalled(service):
    for path, body in ((SIZE, sizing()), (CHECK, checking())):
        answer = ask(service, path, body)
        codes = {warning["code"]: warning["message"] for warning in answer["warnings"]}
        assert GENERATION in codes["rating_generation_older"]
        assert "ratings of silent chain" in codes["figure_from_memory"]
        assert "lubrication_not_read" in codes
    assert ask(service, SIZE, sizing())["result"]["silent"]["ratings_generation"] == GENERATION
    assert ask(service, CHECK, checking())["result"]["ratings_generation"] == GENERATION


def test_width_follows_from_the_design_power_and_the_table(service):
    for drive in drives(ask(service, SIZE, sizing(limit=50))):
        pitch = drive["pitch"]["value"] / 25.4
        rated = rating(round(pitch, 4), drive["driver_teeth"], 1450)
        needed = 30 * 1.3 / KW_PER_HP / rated
        assert drive["service_factor"] == 1.3  # course-roller-silent Table 1B, class II
        assert drive["required_width"]["value"] == pytest.approx(needed * 25.4)
        assert drive["nominal_width"]["value"] >= drive["required_width"]["value"]
        assert drive["rated_power"]["value"] == pytest.approx(
            rated * drive["nominal_width"]["value"] / 25.4 * KW_PER_HP
        )
        assert drive["utilisation"] == pytest.approx(drive["required_width"]["value"] / drive["nominal_width"]["value"])


def test_no_standard_width_between_need_and_choice_was_overlooked(service):
    widths: dict[float, list[float]] = {}
    for size in REFERENCE.chains.sizes:
        if size.row.standard == "ASME B29.2M":
            pitch = size.figure("pitch").printed_value
            widths.setdefault(pitch, []).append(size.figure("nominal_width").printed_value)
    for drive in drives(ask(service, SIZE, sizing(limit=50))):
        pitch, chosen = drive["pitch"]["value"] / 25.4, drive["nominal_width"]["value"] / 25.4
        needed = drive["required_width"]["value"] / 25.4
        between = [width for width in widths[round(pitch, 4)] if needed <= width < chosen - 1e-9]
        assert between == []
        assert chosen <= (8 if pitch < 0.2 else 16) * pitch + 1e-9  # asme-b29.2m-2007 para. 1.2
        centre = pitch > 0.2 and chosen >= 2 * pitch - 1e-9
        assert drive["guide_by_rule"] == ("centre" if centre else "side_or_centre")


def test_ranking_is_a_sort_of_its_terms_in_a_list_of_its_own(service):
    ranked = ask(service, SIZE, sizing(limit=50))["result"]["silent"]["drives"]
    assert len(ranked) >= 3
    scores = [entry["score"] for entry in ranked]
    assert scores == sorted(scores)
    for entry in ranked:
        assert entry["score"] == pytest.approx(sum(term["value"] for term in entry["score_terms"]), abs=1e-9)


def test_both_kinds_stand_side_by_side(service):
    load = {"duty": {"power": kw(30), "driver_speed": rpm(1450), "ratio": 2, **MOTOR}}
    both = ask(service, SIZE, sizing(**load, chain_kind="both"))["result"]
    roller = ask(service, SIZE, sizing(**load, chain_kind="roller", silent_load=None))["result"]
    alone = ask(service, SIZE, sizing())["result"]
    assert both["drives"] == roller["drives"]
    assert both["nearest_misses"] == roller["nearest_misses"]
    assert both["silent"] == alone["silent"]
    assert (both["service_factor"], both["silent"]["service_factor"]) == (1.3, 1.3)
    assert alone["drives"] == []


def test_a_step_up_drive_has_the_wheels_of_its_step_down_drive(service):
    down = drives(ask(service, SIZE, sizing(limit=50, constraints={"ratio_tolerance_percent": 0})))
    up_body = sizing({"driver_speed": rpm(725), "ratio": 0.5}, limit=50, constraints={"ratio_tolerance_percent": 0})
    up = drives(ask(service, SIZE, up_body))
    assert [(one["chain"], one["driver_teeth"]) for one in down] == [(one["chain"], one["driven_teeth"]) for one in up]


def test_each_drive_of_a_sizing_is_the_one_that_its_check_finds(service):
    for drive in drives(ask(service, SIZE, sizing(limit=50))):
        checked = ask(
            service,
            CHECK,
            {
                "chain": drive["chain"],
                "driver_teeth": drive["driver_teeth"],
                "driven_teeth": drive["driven_teeth"],
                "pitch_count": drive["pitch_count"],
                "duty": {"power": kw(30), "driver_speed": rpm(1450)},
                "silent_load": FAN,
            },
        )["result"]
        assert checked["verdict"] == "carries"
        for name, value in checked["silent_drive"].items():
            assert drive[name] == value, name


def test_geometry_is_that_of_the_pitch_polygon(service):
    drive = ask(service, CHECK, checking())["result"]["silent_drive"]
    # machinerys-27 p. 2955: pitch radius and three quarters of a pitch.
    for teeth, side in ((21, "small"), (42, "large")):
        expected = 2 * 19.05 * (0.5 / sin(pi / teeth) + 0.75)
        assert drive[f"{side}_diameter_over_chain"]["value"] == pytest.approx(expected)
    assert drive["effective_pull"]["value"] == pytest.approx(15_000 / (21 * 0.01905 * 1000 / 60))


@pytest.mark.parametrize(
    ("teeth", "centre_pitches", "count", "corrected"),
    # Usual open-drive length, computed: silent and roller chain alike (secondary).
    [((21, 63), 40, 124, 40.4476), ((21, 21), 50, 122, 50.5)],
)
def test_length_and_centres(service, teeth, centre_pitches, count, corrected):
    body = checking(driver_teeth=teeth[0], driven_teeth=teeth[1], centre_distance=mm(centre_pitches * 19.05))
    drive = ask(service, CHECK, body)["result"]["silent_drive"]
    assert drive["pitch_count"] == count
    assert drive["centre_distance"]["value"] / 19.05 == pytest.approx(corrected, abs=0.01)


@pytest.mark.parametrize(
    ("machine", "factors"),
    # course-roller-silent Table 1B (secondary)
    [
        ("agitator, semi-liquid", (1.2, 1.3, 1.4)),
        ("kneader or pug mill", (1.4, 1.6, 1.8)),
        ("compressor, reciprocating", (1.3, 1.4, 1.5)),
        ("compressor, centrifugal", (1.1, 1.2, 1.3)),
        ("conveyor, belt, light", (1.1, 1.2, 1.3)),
        ("conveyor, flight or screw", (1.3, 1.5, 1.7)),
        ("fan, centrifugal", (1.2, 1.3, 1.4)),
    ],
)
def test_service_factors_by_class_of_prime_mover(service, machine, factors):
    for mover, factor in zip(("I", "II", "III"), factors, strict=True):
        body = sizing(silent_load={"driven_machine": machine, "prime_mover_class": mover})
        assert ask(service, SIZE, body)["result"]["silent"]["service_factor"] == factor


@pytest.mark.parametrize(
    ("peak", "mover"), [(140, "I"), (149, "I"), (150, "II"), (249, "II"), (250, "III"), (300, "III")]
)
def test_class_of_prime_mover_by_momentary_peak(service, peak, mover):
    """course-roller-silent Table 1A: I up to 149 %, II 150 to 249 %, III 250 to 400 %."""
    load = {"driven_machine": "fan, centrifugal", "peak_load_percent": peak}
    answer = ask(service, SIZE, sizing(silent_load=load))
    assert any(
        (entry["field"], entry["value"]) == ("/silent_load/prime_mover_class", mover) for entry in answer["assumptions"]
    )


def test_the_other_set_of_service_factors_is_never_mixed_in(service):
    other = {"driven_machine": "dough mixer", "service_set": "by_drive_and_hours"}
    answer = ask(service, SIZE, sizing(silent_load=other))
    (entry,) = [entry for entry in answer["assumptions"] if entry["field"] == "/duty/service_factor"]
    assert "by drive and hours" in entry["note"]
    assert "course-roller-silent" not in {source["id"] for source in answer["sources"]}


def test_constraints_hold(service):
    limits = {"minimum_small_teeth": 23, "maximum_large_diameter": mm(400), "chains": ["SC420", "SC612", "SC624"]}
    found = drives(ask(service, SIZE, sizing(constraints=limits)))
    assert found
    for drive in found:
        assert drive["chain"] in limits["chains"]
        assert min(drive["driver_teeth"], drive["driven_teeth"]) >= 23
        assert drive["large_diameter_over_chain"]["value"] <= 400


def test_a_range_of_centres_holds(service):
    body = sizing(centre_distance=None, minimum_centre_distance=mm(700), maximum_centre_distance=mm(720), limit=50)
    found = drives(ask(service, SIZE, body))
    assert found
    assert all(700 <= drive["centre_distance"]["value"] <= 720 for drive in found)


def test_inch_units(service):
    drive = ask(service, CHECK, checking(units="inch"))["result"]["silent_drive"]
    assert drive["nominal_width"] == {"value": 2.0, "unit": "in"}
    assert drive["rated_power_per_width"]["unit"] == "hp/in"
    assert drive["rated_power_per_width"]["value"] == pytest.approx(rating(0.75, 21, 1000))


def test_pitches_that_do_not_serve_say_why(service):
    misses = ask(service, SIZE, sizing({"driver_speed": rpm(5500)}))["result"]["silent"]["misses"]
    reasons = {round(miss["pitch"]["value"] / 25.4, 4): miss["reason"] for miss in misses}
    assert reasons[1.25] == reasons[1.5] == reasons[2.0] == "not_rated"
    assert reasons[1.0] == "speed_outside_table"


def test_two_points_are_compared(service):
    body = checking(changed_duty={"power": kw(60), "driver_speed": rpm(1000)})
    answer = ask(service, CHECK, body)
    assert answer["result"]["verdict"] == "overloaded"
    assert {entry["name"] for entry in answer["checks"]} == {"rated_power", "changed_rated_power", "greatest_width"}
    before, after = (answer["result"][name]["utilisation"] for name in ("silent_drive", "changed_silent_drive"))
    assert after == pytest.approx(4 * before)


def test_how_a_silent_drive_runs_and_what_changes(service):
    body = checking(changed_duty={"power": kw(15), "driver_speed": rpm(1300)})
    result = ask(service, CHECK, body)["result"]
    # 116 pitches over 21 and 42 teeth: tooth and link meet again after 116 turns of 21 teeth, and 58 of 42.
    assert result["running"]["small_wheel_turns_to_same_link"] == 116
    assert result["running"]["large_wheel_turns_to_same_link"] == 58
    assert result["running"]["mesh_frequency"]["value"] == pytest.approx(21 * 1000 / 60)
    change = result["change"]
    assert change["chain_speed_percent"] == pytest.approx(30)
    assert change["effective_pull_percent"] == pytest.approx(100 * (1 / 1.3 - 1))
    assert change["joint_flexings_percent"] == pytest.approx(30)
    before, after = (rating(0.75, 21, speed) for speed in (1000, 1300))
    assert change["rated_power_percent"] == pytest.approx(100 * (after / before - 1))
    assert change["utilisation_after"] == pytest.approx(result["changed_silent_drive"]["utilisation"])


def test_assumptions_of_both_duties_point_at_their_duty(service):
    body = checking(changed_duty={"power": kw(15), "driver_speed": rpm(1300)})
    fields = [entry["field"] for entry in ask(service, CHECK, body)["assumptions"]]
    assert fields == ["/duty/service_factor", "/changed_duty/service_factor"]


def test_hours_are_said_to_change_nothing_where_they_change_nothing(service):
    listed = ask(service, CHECK, checking({"hours_per_day": 24}))["assumptions"]
    note = next(entry["note"] for entry in listed if entry["field"] == "/duty/hours_per_day")
    assert "holds no hours" in note
    assert "15000" not in note  # the life of roller chain ratings


def test_an_offset_section_asks_for_a_quarter_more_width(service):
    """trade-silent-practice: the width of a chain with an offset section is increased by 25 %."""
    even, odd = (
        ask(service, CHECK, checking(centre_distance=None, pitch_count=count))["result"]["silent_drive"]
        for count in (116, 115)
    )
    assert odd["required_width"]["value"] == pytest.approx(1.25 * even["required_width"]["value"])
    assert odd["utilisation"] == pytest.approx(1.25 * even["utilisation"])
    assert odd["rated_power"]["value"] == pytest.approx(even["rated_power"]["value"] / 1.25)


def test_a_sizing_with_offset_sections_carries_with_them(service):
    found = drives(ask(service, SIZE, sizing(offset_link_allowed=True, limit=50, centre_distance=mm(905))))
    assert any(drive["offset_section"] for drive in found)
    for drive in found:
        assert drive["utilisation"] <= 1
        widths = [size.figure("nominal_width").value for size in REFERENCE.chains.sizes
                  if size.row.standard == "ASME B29.2M"
                  and size.figure("pitch").value == pytest.approx(drive["pitch"]["value"])]  # fmt: skip
        assert not [width for width in widths
                    if drive["required_width"]["value"] <= width < drive["nominal_width"]["value"] - 1e-6]  # fmt: skip


def test_hand_oiling_bounds_the_chain_speed(service):
    """trade-silent-practice: not generally advised above 1000 ft/min."""
    body = sizing({"driver_speed": rpm(600), "power": kw(5)}, constraints={"lubrication_at_hand": "manual_or_drip"})
    answer = ask(service, SIZE, body)
    assert drives(answer)
    assert all(drive["chain_speed"]["value"] <= 5.08 for drive in drives(answer))
    misses = {miss["reason"] for miss in answer["result"]["silent"]["misses"]}
    assert "lubrication_not_at_hand" in misses


def test_misses_that_rest_on_recalled_ratings_say_so(service):
    answer = ask(service, SIZE, sizing({"power": kw(3000)}))
    (memory,) = [warning for warning in answer["warnings"] if warning["code"] == "figure_from_memory"]
    assert "ratings of silent chain of 0.5 in pitch" in memory["message"]
    assert "rating_generation_older" in {warning["code"] for warning in answer["warnings"]}


def test_an_order_names_standard_and_guide(service):
    assert (
        "SC608 (ASME B29.2M), centre guide, 116 pitches"
        in (ask(service, CHECK, checking())["result"]["silent_drive"]["order_line"])
    )


HOURS = {"driven_machine": "dough mixer", "service_set": "by_drive_and_hours"}

CASES = [
    (
        SIZE, sizing({"hours_per_day": 24}, silent_load=HOURS),
        Wrong("longer than the column", "figure_not_in_reference", "10 hours", pointer="/duty/hours_per_day"),
    ),
    (
        SIZE, sizing({"prime_mover": "engine_mechanical"}, silent_load=HOURS),
        Wrong("another column", "figure_not_in_reference", "fluid-coupled", pointer="/duty/prime_mover"),
    ),
    (
        CHECK,
        checking(silent_load=HOURS, changed_duty={"power": kw(15), "driver_speed": rpm(1000), "hours_per_day": 20}),
        Wrong("changed hours", "figure_not_in_reference", "10 hours", pointer="/changed_duty/hours_per_day"),
    ),
    (
        SIZE, sizing(silent_load={**HOURS, "prime_mover_class": "II"}),
        Wrong("class of the other set", "over_determined", "other set", pointer="/silent_load/prime_mover_class"),
    ),
    (SIZE, sizing({"power": kw(7500)}), Wrong("S2", "power_suspect", "7.5 kW", 200, "/duty/power")),
    (CHECK, checking({"power": kw(7500)}), Wrong("S2", "power_suspect", "7.5 kW", 200, "/duty/power")),
    (
        CHECK, checking(driven_teeth=200, driver_teeth=23, centre_distance=mm(4000)),
        Wrong("S16", "teeth_many", "1.00 %", 200, "/driven_teeth"),  # 200/200
    ),
    (
        CHECK, checking(centre_distance=quantity(20, "m")),
        Wrong("S20", "centres_long", "guides", 200, "/centre_distance"),
    ),
    (
        CHECK, checking({"service_factor": 25}, silent_load=None),
        Wrong("S24", "factor_suspect", "2.5", 200, "/duty/service_factor"),
    ),
    (
        CHECK, checking(chain="SC0309", driver_teeth=15, driven_teeth=45, centre_distance=mm(200)),
        Wrong("S15", "teeth_few", "21 or more", 200, "/driver_teeth"),
    ),
    (
        CHECK, checking({"load_class": "smooth"}),
        Wrong("class of roller chain", "not_used", "silent_load", 200, "/duty/load_class"),
    ),
    (
        SIZE, sizing(compare_iso_10823=True),
        Wrong("comparison", "not_used", "roller chain", 200, "/compare_iso_10823"),
    ),
    (
        SIZE, sizing({"service_factor": 1.2}, chain_kind="roller"),
        Wrong("load of silent chain", "not_used", "only roller chain", 200, "/silent_load"),
    ),
    (
        CHECK, checking(changed_duty={"power": kw(15), "driver_speed": rpm(3000)}),
        Wrong("changed too fast", "speed_beyond_table", "not prolonged", pointer="/changed_duty/driver_speed"),
    ),
    (
        CHECK, checking(changed_duty={"driver_speed": rpm(1300)}),
        Wrong("changed without power", "field_required", "torque", pointer="/changed_duty/power"),
    ),
    (SIZE, sizing(silent_load=None), Wrong("no load", "field_required", "silent_load", pointer="/silent_load")),
    (
        SIZE, sizing({"service_factor": 1.3}),
        Wrong("both", "factor_double_counted", "twice", pointer="/duty/service_factor"),
    ),
    (
        SIZE, sizing({"service_factor": 0.9}, silent_load=None),
        Wrong("below one", "factor_below_minimum", "below 1", pointer="/duty/service_factor"),
    ),
    (
        SIZE, sizing(silent_load={"driven_machine": "fan, centrifugal"}),
        Wrong("no class", "field_required", "Classes:", pointer="/silent_load/prime_mover_class"),
    ),
    (
        SIZE, sizing(silent_load={**FAN, "peak_load_percent": 300}),
        Wrong("class and peak", "over_determined", "class III", pointer="/silent_load/prime_mover_class"),
    ),
    (
        SIZE, sizing(silent_load={"driven_machine": "fan, centrifugal", "peak_load_percent": 500}),
        Wrong("peak", "number_out_of_range", "400", pointer="/silent_load/peak_load_percent"),
    ),
    (
        SIZE, sizing(silent_load={"driven_machine": "centrifuge", "prime_mover_class": "III"}),
        Wrong("blank cell", "figure_not_in_reference", "centrifuge", pointer="/silent_load/prime_mover_class"),
    ),
    (
        SIZE, sizing(silent_load={"driven_machine": "fan centrifugal", "prime_mover_class": "I"}),
        Wrong("spelling", "matched_by_spelling", "fan, centrifugal", 200, "/silent_load/driven_machine"),
    ),
    (
        SIZE, sizing(silent_load={"driven_machine": "time machine", "prime_mover_class": "I"}),
        Wrong("machine", "driven_machine_unknown", "dough mixer", pointer="/silent_load/driven_machine"),
    ),
    (
        SIZE, sizing(constraints={"chains": ["80"]}),
        Wrong("roller named", "chain_kind_differs", "not silent", pointer="/constraints/chains/0"),
    ),
    (
        SIZE, sizing({"service_factor": 1.2}, chain_kind="roller", silent_load=None, constraints={"chains": ["SC608"]}),
        Wrong("silent named", "chain_kind_differs", "is silent", pointer="/constraints/chains/0"),
    ),
    (
        SIZE, sizing({"service_factor": 1.2}, chain_kind="both", silent_load=None, constraints={"chains": ["80"]}),
        Wrong("one kind named", "chain_kind_differs", "named chains is silent", pointer="/constraints/chains"),
    ),
    (
        SIZE, sizing(constraints={"chains": ["PZ-1-12.7-26-22.5"]}),
        Wrong("other standard", "rating_not_available", "GOST", pointer="/constraints/chains/0"),
    ),
    (SIZE, sizing({"power": kw(3000)}), Wrong("too much", "no_feasible_option", "power beyond table", 200)),
    (CHECK, checking(silent_load=None), Wrong("no load", "field_required", "silent_load", pointer="/silent_load")),
    (CHECK, checking(strand_count=2), Wrong("strands", "strands_out_of_range", "width", pointer="/strand_count")),
    (
        CHECK, checking(driver_teeth=19, driven_teeth=38),
        Wrong("few teeth", "teeth_few", "21 to 23", pointer="/driver_teeth"),
    ),
    (
        CHECK, checking(driver_teeth=40, driven_teeth=40),
        Wrong("many teeth", "teeth_many", "21 to 23", pointer="/driver_teeth"),
    ),
    (
        CHECK, checking({"driver_speed": rpm(3000)}),
        Wrong("fast", "speed_beyond_table", "not prolonged", pointer="/duty/driver_speed"),
    ),
    (
        CHECK, checking({"driver_speed": rpm(50)}),
        Wrong("slow", "speed_below_table", "not prolonged", pointer="/duty/driver_speed"),
    ),
    (CHECK, checking(chain="SC1012"), Wrong("hole", "rating_not_available", "1.25 in", pointer="/chain")),
    (
        CHECK, checking(centre_distance=mm(210)),
        Wrong("touching", "teeth_would_touch", "touch", pointer="/centre_distance"),
    ),
    (
        CHECK, checking(centre_distance=None, pitch_count=111),
        Wrong("odd", "odd_pitch_count", "offset section", 200),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("path", "body", "case"), CASES, ids=[f"{case[0][4:]} {case[2]}" for case in CASES])
def test_wrong_input(service, path, body, case):
    response = service.post(path, body)
    assert_told(case, response)
    model = DriveSizingRequest if path == SIZE else DriveCheckRequest
    answer = response.json()
    for entry in answer.get("errors", answer.get("warnings")):
        if entry.get("pointer"):
            assert points_into(msgspec.inspect.type_info(model), entry["pointer"]), entry


def test_a_factor_of_the_caller_serves_both_kinds_and_torque_is_power(service):
    answer = ask(service, SIZE, sizing({"service_factor": 1.4}, silent_load=None, chain_kind="both"))["result"]
    assert answer["service_factor"] == answer["silent"]["service_factor"] == 1.4
    torque = quantity(30_000 / (1450 * 2 * pi / 60), "N.m")
    same = ask(service, SIZE, sizing({"service_factor": 1.4, "power": None, "torque": torque}, silent_load=None))[
        "result"
    ]["silent"]["drives"]
    assert [one["drive"]["chain"] for one in same] == [one["drive"]["chain"] for one in answer["silent"]["drives"]]


def test_the_layout_is_drawn_too(service):
    response = service.post(CHECK, checking(), headers={"accept": "image/svg+xml"})
    assert response.status_code == 200, response.text
    assert "SC608" in response.text
    assert "over chain" in response.text
