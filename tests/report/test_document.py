"""The judgement document: exactly the published keys, spellings and roundings."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.briefing.sample import exercise
from tests.report.judged import ROWS, judgement
from tests.report.sample import row
from trainer.report.document import document_text, every_second, gear_word, judgement_json

DOCUMENT = judgement_json(judgement(), exercise(), ROWS, "f00d", 1, 1)

KEYS = {
    "": "format version notice exercise exercise_digest seed engine judge outcome reason points "
    "technique areas items watches gates modes briefing competencies track digest",
    "items": "item area verdict at_s distance_nm opened_s due_s closed_s expected found corrected "
    "credit weight why source better",
    "watches": "watch severity from_s to_s worst limit unit because why source",
    "gates": "gate t_s distance_nm result failed because",
    "modes": "t_s lateral vertical lateral_armed vertical_armed thrust engagement capability said",
    "competencies": "code name behaviour shown put_right not_shown lapses",
    "track": "t_s distance_nm altitude_ft height_ft cas_kt ground_speed_kt vs_fpm flaps gear "
    "localizer_dots glide_dots margin_nm path_ft flown_speed_kt flown_speed_because",
}


def test_the_document_says_what_it_is() -> None:
    assert DOCUMENT["format"] == "approach-drill/judgement"
    assert DOCUMENT["version"] == 1
    assert (DOCUMENT["engine"], DOCUMENT["judge"], DOCUMENT["digest"]) == (1, 1, "f00d")
    assert (DOCUMENT["seed"], DOCUMENT["exercise_digest"]) == (7, "e" * 64)


@pytest.mark.parametrize("part", KEYS)
def test_every_part_has_exactly_the_published_keys(part: str) -> None:
    entries: list[dict[str, Any]] = DOCUMENT[part] if part else [DOCUMENT]
    assert entries
    for entry in entries:
        assert list(entry) == KEYS[part].split()


def test_areas_are_named_and_hold_points_and_weight() -> None:
    assert DOCUMENT["areas"] == {
        "awareness": {"points": 100.0, "weight": 1.0},
        "energy": {"points": 16.67, "weight": 6.0},
        "modes": {"points": 0.0, "weight": 3.0},
    }


def test_times_have_one_decimal_and_distances_two() -> None:
    late = DOCUMENT["items"][1]
    assert (late["at_s"], late["due_s"], late["distance_nm"]) == (26.0, 20.0, 3.96)
    assert (late["verdict"], late["credit"], late["corrected"]) == ("late", 0.25, False)
    assert DOCUMENT["gates"][0]["t_s"] == 50.5
    assert DOCUMENT["gates"][0]["failed"] == [
        {
            "criterion": "configuration",
            "value": "flap 22, gear down",
            "limit": "flap 36, gear down",
            "unit": "",
        },
        {"criterion": "speed above", "value": 12.35, "limit": 10.0, "unit": "kt"},
    ]


def test_what_did_not_happen_is_null() -> None:
    not_reached = DOCUMENT["items"][5]
    for key in ("at_s", "distance_nm", "opened_s", "due_s", "closed_s", "credit"):
        assert not_reached[key] is None
    assert DOCUMENT["watches"][0]["because"] is None
    assert DOCUMENT["watches"][1]["because"] == "approach mode"
    assert DOCUMENT["modes"][0]["said"] is None
    nothing = judgement_json(judgement(points=None), exercise(), (), "", 1, 1)
    assert nothing["points"] is None
    assert nothing["track"] == []


def test_the_track_has_a_row_a_second_and_the_last_one() -> None:
    times = [entry["t_s"] for entry in DOCUMENT["track"]]
    assert times == [float(second) for second in range(121)] + [120.5]
    whole = every_second([row(step) for step in range(21)])
    assert [one.step for one in whole] == [0, 10, 20]


def test_a_track_entry_is_the_row_rounded() -> None:
    entry = DOCUMENT["track"][100]
    assert entry == {
        "t_s": 100.0,
        "distance_nm": 1.0,
        "altitude_ft": 368.4,
        "height_ft": 368.4,
        "cas_kt": 130.0,
        "ground_speed_kt": 144.0,
        "vs_fpm": -764.0,
        "flaps": "36",
        "gear": "down",
        "localizer_dots": 0.02,
        "glide_dots": -0.11,
        "margin_nm": None,
        "path_ft": None,
        "flown_speed_kt": None,
        "flown_speed_because": None,
    }


def test_a_speed_flown_instead_of_the_selected_one_and_a_coded_path_are_in_the_track() -> None:
    flown = row(
        0, protected_kt=203.6, protected_why="slowest with flap 0", followed_error_ft=-120.4
    )
    entry = judgement_json(judgement(), exercise(), [flown], "", 1, 1)["track"][0]
    assert (entry["flown_speed_kt"], entry["path_ft"]) == (204.0, -120.0)
    assert entry["flown_speed_because"] == "slowest with flap 0"


@pytest.mark.parametrize(("flap", "name"), [(0.0, "0"), (0.99, "0"), (1.0, "4"), (3.4, "22")])
def test_flaps_are_the_stage_last_reached(flap: float, name: str) -> None:
    made = judgement_json(judgement(), exercise(), [row(0, flap=flap)], "", 1, 1)
    assert made["track"][0]["flaps"] == name


@pytest.mark.parametrize(("gear", "word"), [(0.0, "up"), (0.5, "moving"), (1.0, "down")])
def test_gear_is_up_moving_or_down(gear: float, word: str) -> None:
    assert gear_word(row(0, gear=gear)) == word


def test_nothing_reads_minus_zero() -> None:
    made = judgement_json(
        judgement(), exercise(), [row(0, localizer_dots=-0.001, vertical_speed_fpm=-0.2)], "", 1, 1
    )
    assert "-0.0" not in document_text(made)


def test_the_text_is_json_that_reads_back_and_holds_ascii_only() -> None:
    text = document_text(DOCUMENT)
    assert json.loads(text) == DOCUMENT
    assert text.isascii()
    assert text.endswith("}\n")
