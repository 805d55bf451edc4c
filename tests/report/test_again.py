"""A kept attempt is judged again from what was stored, or flown again; nothing is believed."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from tests.records.flown import careless, kept
from trainer import ENGINE
from trainer.errors import UserError
from trainer.records.attempt_file import attempt_from_text, attempt_text
from trainer.records.packing import pack, unpack
from trainer.records.stored import Stored
from trainer.report.again import flown_again, judged_again
from trainer.report.closing import session_document


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Stored:
    return kept(tmp_path_factory.mktemp("records") / "attempts.sqlite3")


@pytest.fixture(scope="module")
def filed(stored: Stored) -> Stored:
    return attempt_from_text(attempt_text(stored), "quill.attempt.json")


def test_judging_again_by_the_same_rules_changes_nothing(stored: Stored) -> None:
    session, judgement = careless()
    document = json.loads(judged_again(stored).json_text())
    assert document == json.loads(json.dumps(session_document(session, judgement)))
    assert document == stored.judgement
    assert document["points"] < 100.0


def test_judging_again_from_the_records_flies_nothing(
    stored: Stored, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("trainer.flight.replay.fly_again", None)
    assert judged_again(replace(stored, engine=ENGINE + 7)).judgement.outcome == "passed"


def test_the_acts_fly_the_same_flight_again(stored: Stored) -> None:
    again = flown_again(stored)
    assert again.digest == stored.digest
    assert again.rows == careless()[0].flight.rows


def test_numbers_in_the_log_do_not_change_the_flight(stored: Stored) -> None:
    entries = tuple(
        one._replace(body=(one.body[0], one.body[1] * 3 + 5, *one.body[2:]))
        for one in stored.entries
    )
    assert flown_again(replace(stored, entries=entries)).digest == stored.digest


def test_a_flight_that_ended_early_is_flown_no_further(stored: Stored) -> None:
    assert len(flown_again(replace(stored, beat=400)).rows) == 401


def test_a_typed_in_score_does_not_count(filed: Stored) -> None:
    assert filed.judgement is not None
    boast = replace(
        filed, points=100.0, outcome="passed",
        judgement={**filed.judgement, "points": 100.0, "items": []},
    )  # fmt: skip
    honest = judged_again(filed)
    assert json.loads(judged_again(boast).json_text()) == json.loads(honest.json_text())
    assert honest.note == ""


def test_a_typed_in_flight_does_not_count_while_this_engine_can_fly_its_acts(filed: Stored) -> None:
    assert filed.facts is not None
    rows, facts = unpack(filed.facts)
    forged = pack([row._replace(cas_kt=137.0) for row in rows], facts)
    assert judged_again(replace(filed, facts=forged)).rows == careless()[0].flight.rows


def test_acts_that_were_changed_are_noticed(filed: Stored) -> None:
    fewer = replace(filed, entries=filed.entries[:-3])
    again = judged_again(fewer)
    assert "its acts fly another flight than it says" in again.note
    assert again.digest != filed.digest


def test_an_exercise_that_was_changed_is_another_flight(filed: Stored) -> None:
    milder = filed.canonical.replace('"gear":"up"', '"gear":"down"', 1)
    changed = replace(filed, canonical=milder)
    if milder == filed.canonical:
        document = json.loads(filed.canonical)
        document["exercise"]["title"] = "Another title"
        changed = replace(filed, canonical=json.dumps(document))
    assert flown_again(changed).digest != filed.digest


def test_a_file_of_another_engine_is_judged_from_its_flight_and_said_to_be_unverified(
    filed: Stored,
) -> None:
    again = judged_again(replace(filed, engine=ENGINE + 1))
    assert "not verified" in again.note
    assert again.judgement == judged_again(filed).judgement
    assert again.engine == ENGINE + 1


def test_an_unfinished_attempt_is_not_judged(stored: Stored) -> None:
    with pytest.raises(UserError, match="not flown to an end"):
        judged_again(replace(stored, facts=None, outcome=None))


def test_a_file_whose_flight_is_damaged_is_a_users_mistake(filed: Stored, tmp_path: Path) -> None:
    with pytest.raises(UserError, match="damaged"):
        judged_again(replace(filed, engine=ENGINE + 1, facts=b"nonsense"))
    with pytest.raises(UserError, match="empty"):
        judged_again(replace(filed, engine=ENGINE + 1, facts=pack([], [])))


def test_a_file_with_impossible_acts_is_a_users_mistake(filed: Stored) -> None:
    first = filed.entries[0]
    nonsense = first._replace(body=(first.step, 1, "pilot", "press", "flaps", "", "", -1))
    with pytest.raises(UserError, match="cannot be flown"):
        judged_again(replace(filed, entries=(nonsense, *filed.entries[1:])))
