"""The sheet of an exercise: its contract, and its figures against geometry."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import pytest

from tests.briefing.sample import APPROACH, FLOW, along, exercise, fix
from tests.report.sample import MODES, row
from trainer import paths
from trainer.briefing.ladders import Step, flown_ladder, planned_ladder
from trainer.briefing.paper import sheet_text
from trainer.briefing.route import route
from trainer.briefing.sheet import Sheet, sheet, sheet_json
from trainer.flight.surroundings import platform_ft
from trainer.scenario import compose
from trainer.scenario.exercise import Leg, Weather, WindLayer
from trainer.scenario.library import Library
from trainer.text import NOTICE, is_refused, width
from trainer.units import FT, NM

NO_GATE = replace(FLOW, gates=())


def quick(**changes: Any) -> Sheet:
    """A sheet without the two late ladders, which take most of the time."""
    return sheet(exercise(**{"flow": NO_GATE, **changes}))


SHEET = sheet(exercise())
DOCUMENT = sheet_json(SHEET)

KEYS = {
    "": "format version notice exercise title seed course_deg glide_angle_deg "
    "threshold_crossing_ft threshold_elevation_ft minimums localizer glide distance_altitude fixes "
    "descent_rate timing ladders speeds",
    "localizer": "course_width_deg half_width_dots antenna_to_threshold_m",
    "glide": "usable_from_nm covered_from_nm",
    "distance_altitude": "distance_nm dme_nm altitude_flat_ft altitude_ft",
    "fixes": "fix distance_nm dme_nm path_altitude_flat_ft path_altitude_ft published_altitude_ft",
    "descent_rate": "ground_speed_kt rate_fpm",
    "timing": "ground_speed_kt seconds",
    "ladders": "reference last_chance energy_limit",
    "speeds": "reference_kt final_kt",
}


@pytest.mark.parametrize("part", KEYS)
def test_every_part_has_exactly_the_published_keys(part: str) -> None:
    found: Any = DOCUMENT[part] if part else DOCUMENT
    entries = found if isinstance(found, list) else [found]
    assert entries
    for entry in entries:
        assert list(entry) == KEYS[part].split()


def test_the_document_says_what_it_is_and_is_json() -> None:
    assert (DOCUMENT["format"], DOCUMENT["version"]) == ("approach-drill/brief", 1)
    assert json.loads(json.dumps(DOCUMENT, allow_nan=False)) == DOCUMENT


def test_the_plain_figures_are_those_of_the_exercise() -> None:
    assert (DOCUMENT["course_deg"], DOCUMENT["glide_angle_deg"]) == (143.0, 3.0)
    assert (DOCUMENT["threshold_crossing_ft"], DOCUMENT["threshold_elevation_ft"]) == (50.0, 24.0)
    assert DOCUMENT["minimums"] == 225.0
    assert DOCUMENT["speeds"] == {"reference_kt": 132.0, "final_kt": 137.0}


def test_the_localizer_is_700_ft_wide_at_the_threshold() -> None:
    # FAA AIM 1-1-9: tailored to 700 ft at the threshold. By hand, 350 ft over 2 800 m is 2.182°.
    assert DOCUMENT["localizer"]["course_width_deg"] == pytest.approx(4.364, abs=0.002)
    assert DOCUMENT["localizer"]["half_width_dots"] == 2.0
    half_rad = math.radians(DOCUMENT["localizer"]["course_width_deg"] / 2.0)
    assert math.tan(half_rad) * 2800.0 / FT == pytest.approx(350.0, abs=0.2)


def test_the_glide_path_is_guaranteed_to_ten_miles_of_its_antenna_and_received_beyond() -> None:
    # ICAO Annex 10 Vol I, 3.1.5.3: 10 NM; the antenna stands 291 m (0.157 NM) past the threshold.
    glide = DOCUMENT["glide"]
    assert glide["covered_from_nm"] == pytest.approx(10.0 - 0.157, abs=0.015)
    assert glide["usable_from_nm"] > glide["covered_from_nm"]


@pytest.mark.parametrize(
    ("distance_nm", "height_ft"),
    [(7.0, 2279), (6.0, 1961), (5.0, 1642), (4.0, 1324), (3.0, 1005), (2.0, 687), (1.0, 368)],
)
def test_the_flat_altitudes_are_the_published_heights_above_the_threshold(
    distance_nm: float, height_ft: int
) -> None:
    found = {entry["distance_nm"]: entry for entry in DOCUMENT["distance_altitude"]}
    entry = found[distance_nm]
    assert entry["altitude_flat_ft"] == pytest.approx(24.0 + height_ft, abs=1.0)
    rise_ft = entry["altitude_ft"] - entry["altitude_flat_ft"]
    assert rise_ft == pytest.approx(0.883 * distance_nm**2, abs=0.11)


def test_the_distance_table_has_every_mile_and_every_fix_once() -> None:
    distances = [entry["distance_nm"] for entry in DOCUMENT["distance_altitude"]]
    assert distances == [14.0, *(float(mile) for mile in range(14, 8, -1)), 9.0,
                         *(float(mile) for mile in range(8, 0, -1))]  # fmt: skip
    assert [row.fix for row in SHEET.path if row.fix] == ["VANTO", "ORMIK"]


def test_the_dme_reading_is_the_slant_range_less_the_zero() -> None:
    # By hand at 5 NM: the antenna stands 0.16 NM past the threshold and 30 ft above sea level;
    # the path is 1 642 ft above the threshold (24 ft).
    entry = next(one for one in DOCUMENT["distance_altitude"] if one["distance_nm"] == 5.0)
    up_nm = (1642.0 + 24.0 - 30.0) * FT / NM
    assert entry["dme_nm"] == pytest.approx(math.hypot(5.16, up_nm) - 0.16, abs=0.006)


def test_without_a_dme_no_reading_is_given() -> None:
    made = sheet_json(quick(approach=replace(APPROACH, dme=None)))
    assert all(entry["dme_nm"] is None for entry in made["distance_altitude"] + made["fixes"])


def test_fixes_carry_their_published_altitudes_and_the_path_there() -> None:
    outer, final = DOCUMENT["fixes"]
    assert (outer["fix"], outer["distance_nm"], outer["published_altitude_ft"]) == (
        "VANTO",
        14.0,
        3000.0,
    )
    # 9 NM by hand: 24 + 50 + 9 × 318.44 = 2 940 ft, 0.883 × 81 = 71.5 ft for the round earth.
    assert final["path_altitude_flat_ft"] == pytest.approx(2940.0, abs=0.5)
    assert final["path_altitude_ft"] == pytest.approx(3011.5, abs=0.5)


def test_a_fix_beside_the_final_course_has_no_path_altitude() -> None:
    aside = Leg(fix("BASEL", 15.0, 6.0), "", 0.0)
    made = sheet_json(quick(approach=replace(APPROACH, legs=(aside, *APPROACH.legs))))
    entry = made["fixes"][0]
    assert entry["distance_nm"] == pytest.approx(math.hypot(15.0, 6.0), abs=0.01)
    assert entry["path_altitude_ft"] is entry["path_altitude_flat_ft"] is None
    assert entry["published_altitude_ft"] is None
    assert entry["dme_nm"] == pytest.approx(math.hypot(15.16, 6.0) - 0.16, abs=0.02)
    assert not any(one["distance_nm"] == 16.16 for one in made["distance_altitude"])


def test_with_the_curvature_switched_off_both_figures_are_flat() -> None:
    made = sheet_json(quick(curved_earth=False))
    for entry in made["distance_altitude"]:
        assert entry["altitude_ft"] == entry["altitude_flat_ft"]


def test_rates_and_times_are_those_of_the_path_and_the_final_fix() -> None:
    rates = {entry["ground_speed_kt"]: entry["rate_fpm"] for entry in DOCUMENT["descent_rate"]}
    assert (rates[120], rates[140], rates[180]) == (637, 743, 955)
    times = {entry["ground_speed_kt"]: entry["seconds"] for entry in DOCUMENT["timing"]}
    assert times[90] == pytest.approx(360.0)  # 9 NM at 90 kt: six minutes
    assert times[180] == pytest.approx(180.0)


# Ladders ----------------------------------------------------------------------------------------


def test_without_a_flight_the_reference_holds_planned_speeds_and_no_places() -> None:
    reference = DOCUMENT["ladders"]["reference"]
    assert [step["step"] for step in reference] == [
        "flap 4",
        "flap 12",
        "flap 22",
        "flap 36",
        "final speed",
    ]
    assert [step["cas_kt"] for step in reference] == [208.0, 184.0, 167.0, 151.0, 137.0]
    assert all(step["distance_nm"] is None for step in reference)


def test_planned_speeds_follow_the_mass() -> None:
    heavy = planned_ladder(exercise(start=replace(exercise().start, mass_t=58.0 * 1.21)))
    assert heavy[0].cas_kt == pytest.approx(208.0 * 1.1)


def test_a_reference_flight_takes_the_place_of_planned_speeds() -> None:
    steps = [Step("gear", 9.123, 3000.4, 175.04)]
    made = sheet_json(sheet(exercise(flow=NO_GATE), steps))
    assert made["ladders"]["reference"] == [
        {"step": "gear", "distance_nm": 9.12, "altitude_ft": 3000.0, "cas_kt": 175.0}
    ]


@pytest.mark.parametrize("name", ["last_chance", "energy_limit"])
def test_late_ladders_run_inwards_and_end_at_the_gate(name: str) -> None:
    steps = DOCUMENT["ladders"][name]
    distances = [step["distance_nm"] for step in steps]
    assert distances == sorted(distances, reverse=True)
    assert {"gear", "flap 36"} <= {step["step"] for step in steps}
    # The gate at 1 000 ft on the path is about 3 NM out; what is counted must be done by then.
    assert steps[-1]["distance_nm"] == pytest.approx(3.0, abs=0.12)


def test_the_last_chance_comes_before_the_energy_limit() -> None:
    ladders = SHEET.ladders
    late = {step.step: step.distance_nm for step in ladders.last_chance}
    limit = {step.step: step.distance_nm for step in ladders.energy_limit}
    assert late["idle"] is not None
    assert limit["idle"] is not None
    assert late["idle"] > limit["idle"] + 0.5


def test_a_flow_without_a_gate_has_no_late_ladders() -> None:
    ladders = quick(flow=replace(FLOW, gates=())).ladders
    assert ladders.last_chance == ladders.energy_limit == ()


def test_a_flown_ladder_has_each_selection_where_it_was_made() -> None:
    level = MODES._replace(vertical="ALT")
    rows = [
        row(0, flap=0.0, flap_lever=0, gear=0.0, gear_lever="up", modes=level),
        row(10, flap=0.0, flap_lever=1, gear=0.0, gear_lever="up", modes=level),
        row(20, flap=1.0, flap_lever=1, gear=0.0, gear_lever="down", modes=level),
        row(30, flap=1.0, flap_lever=1, gear=0.5, gear_lever="down"),
        row(40, flap=1.0, flap_lever=4, gear=1.0, gear_lever="down"),
        row(50, flap=4.0, flap_lever=4, gear=1.0, gear_lever="down"),
        row(60, flap=4.0, flap_lever=4, modes=MODES._replace(vertical="GA")),
        row(70, flap=3.0, flap_lever=3, gear_lever="down"),
    ]
    steps = flown_ladder(exercise(), rows)
    names = ["flap 4", "gear", "path captured", "flap 36", "configured"]
    assert [step.step for step in steps] == names
    # 10 steps are 0.04 NM at 144 kt.
    distances = [step.distance_nm for step in steps]
    assert distances == pytest.approx([4.96, 4.92, 4.88, 4.84, 4.80])


def test_the_platform_is_the_published_altitude_of_the_final_fix() -> None:
    assert platform_ft(exercise()) == 3000.0
    unpublished = replace(
        APPROACH, legs=(APPROACH.legs[0], Leg(APPROACH.final_fix)), glide_check_altitude_ft=2987.0
    )
    assert platform_ft(exercise(approach=unpublished)) == 2987.0


# Paper ------------------------------------------------------------------------------------------


def words(text: str) -> str:
    return " ".join(text.split())


def test_the_paper_carries_what_is_briefed() -> None:
    page = words(sheet_text(SHEET))
    for part in (
        "Test Atoll (QXZZ) ILS 14",
        "Straight in: Each step at its own moment",
        "Level at 3000 ft.",
        "110.35 MHz",
        "IQXM .. --.- -..- --",
        "course 143°",
        "225 ft (201 ft above the threshold)",
        "1009 hPa",
        "160° 8 kt 8 kt head 2 kt right",
        "VANTO 14.0",
        "above 3000 ft",
        "Climb to 4000 ft;",
        "120 637 4:30",
        "Reference 132 kt, final approach 137 kt at 58.0 t",
        "flap 36 172",
        NOTICE,
    ):
        assert part in page


def procedure(made: Sheet) -> list[list[str]]:
    """The rows of the table of fixes, as words."""
    lines = sheet_text(made).split("\n")
    first = lines.index("Procedure") + 4
    return [line.split() for line in lines[first : lines.index("", first)]][:-1]


def test_the_route_has_every_fix_from_the_start_with_course_distance_and_constraint() -> None:
    # By hand: the flight begins 16 NM out on the final course of 143°, VANTO is at 14 NM.
    assert procedure(SHEET) == [
        ["VANTO", "143°", "2.0", "14.0", "14.0", "above", "3000", "ft", "4705", "210"],
        ["ORMIK", "143°", "5.0", "9.0", "9.0", "at", "3000", "ft", "3011"],
    ]


def test_the_route_begins_at_the_start_and_turns_with_its_legs() -> None:
    # By hand, with the final course as up: from 20 NM out and 6 NM left to 14 NM out on it is
    # 6 NM along and 6 NM to the right: 45° right of 143° is 188°, and 6·√2 = 8.5 NM.
    x_m, y_m = along(20.0, -6.0)
    behind = Leg(fix("BASEL", 24.0, -10.0), "above", 4000.0)
    legs = (behind, *APPROACH.legs)
    start = replace(exercise().start, x_m=x_m, y_m=y_m)
    rows = procedure(quick(start=start, approach=replace(APPROACH, legs=legs)))
    assert [row[:4] for row in rows] == [
        ["VANTO", "188°", "8.5", "14.0"],
        ["ORMIK", "143°", "5.0", "9.0"],
    ]


def test_a_fix_on_the_line_to_the_first_leg_is_listed_though_no_leg_names_it() -> None:
    made = exercise(flow=NO_GATE)
    fixes = (
        fix("FARUT", 17.0),  # behind the start
        fix("ONLIN", 15.0),
        fix("BESID", 15.0, 0.3),  # too far beside the line
        *made.airport.fixes,
    )
    rows = procedure(sheet(replace(made, airport=replace(made.airport, fixes=fixes))))
    assert [row[:4] for row in rows] == [
        ["ONLIN", "143°", "1.0", "15.0"],
        ["VANTO", "143°", "1.0", "14.0"],
        ["ORMIK", "143°", "5.0", "9.0"],
    ]


def test_the_shipped_exercises_list_the_fixes_they_pass() -> None:
    built_in = Library((paths.built_in_scenarios(),))
    passed = {}
    for name in ("straight-in", "early-temptation"):
        made = compose.load(name, built_in)
        passed[name] = [one.leg.fix.name for one in route(made)]
    assert passed == {
        "straight-in": ["ZUFEN", "OMBRY", "KEVUX"],
        "early-temptation": ["TULEP", "OMBRY", "KEVUX"],
    }


def test_the_straight_in_brief_names_the_distance_it_starts_at() -> None:
    made = compose.load("straight-in", Library((paths.built_in_scenarios(),)))
    start_nm = math.hypot(made.start.x_m, made.start.y_m) / NM
    assert f"{start_nm:.0f} NM out" in words(made.brief)


def test_without_a_brief_the_first_section_follows_at_once() -> None:
    lines = sheet_text(quick(brief="")).split("\n")
    assert lines[1].startswith("Straight in: ")
    assert lines[2:4] == ["", "Figures"]


def test_the_missed_approach_track_is_the_bearing_by_hand() -> None:
    # SULDE lies 6 NM beyond the threshold and 4 NM right of the course of 143°: atan(4/6) = 33.7°
    # to the right, that is 177°.
    page = words(sheet_text(SHEET))
    assert "track 177° to SULDE" in page


@pytest.mark.parametrize(
    ("temperature_c", "sentence"),
    [
        (15.0, "today the air is standard"),
        (-5.0, "20 degrees colder than standard, and on the path the altimeter shows about 8 % of "
               "the height more"),
        (35.0, "20 degrees warmer than standard, and on the path the altimeter shows about 8 % of "
               "the height less"),
    ],
)  # fmt: skip
def test_the_paper_says_that_temperature_is_not_applied(
    temperature_c: float, sentence: str
) -> None:
    # PANS-OPS: 4 % of height for each 10 °C.
    weather = Weather(1009.0, temperature_c, None, 9000.0, (), "dry", True)
    page = words(sheet_text(quick(weather=weather)))
    assert "The effect of temperature is not applied" in page
    assert sentence in page


def test_a_tailwind_is_called_one() -> None:
    weather = replace(exercise().weather, wind=(WindLayer(5000.0, 323.0, 24.0),))
    page = words(sheet_text(quick(weather=weather)))
    assert "24 kt tail 0 kt" in page


@pytest.mark.parametrize("cells", [60, 80, 120])
def test_no_line_of_the_paper_is_wider_than_asked(cells: int) -> None:
    assert max(width(line) for line in sheet_text(SHEET, cells).split("\n")) <= cells


@pytest.mark.parametrize("text", ["\x1b[31mred", "‮back", "[bold]x[/]", "日本語" * 20, "a" * 200])
def test_hostile_text_is_shown_literally(text: str) -> None:
    made = exercise(title=text, lesson=text, brief=text, name=text, flow=NO_GATE)
    airport = replace(made.airport, name=text)
    page = sheet_text(sheet(replace(made, airport=airport)))
    assert not [one for one in page.replace("\n", "") if is_refused(one)]
    assert max(width(line) for line in page.split("\n")) <= 80


def test_a_path_that_is_not_sent_and_a_descent_minimum_are_said_so() -> None:
    made = compose.load("localizer-only", Library((paths.built_in_scenarios(),)))
    text = words(sheet_text(sheet(replace(made, flow=NO_GATE)), 100))
    assert "nowhere: not sent; the path is flown by distance and altitude" in text
    assert "minimum descent altitude 480 ft and 50 ft add-on" in text
    assert "at or above: SODEM 1500 ft, TAKUL 900 ft" in text
