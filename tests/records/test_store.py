"""Attempts are kept, listed and loaded; a disk that fails never ends a flight."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from tests.report.sample import row
from trainer.flight.acts import Act, Fact
from trainer.records.journal import Attempt
from trainer.records.packing import pack, unpack
from trainer.records.store import NoSuchAttempt, Records

ACTS = (
    Act(12, 0, "pilot", "press", "approach mode"),
    Act(30, 1, "pilot", "set", "speed", "160"),
    Act(55, 2, "pilot", "say", text='glide "alive" [b]', began=31),
)
JUDGEMENT: dict[str, Any] = {"outcome": "passed", "points": 91.5, "items": [], "reason": "stopped"}
FACTS = pack([row(0), row(1)], [Fact(0, "phase", "final")])


def begin(records: Records, **changes: Any) -> Attempt:
    values: dict[str, Any] = {
        "exercise_canonical": '{"name":"first"}',
        "digest": "d1",
        "name": "first",
        "level": "check",
        "seat": "solo",
        "seed": 7,
        "engine": 1,
        "started_utc": "2031-05-04T10:00:00Z",
    }
    values.update(changes)
    return records.begin(**values)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "attempts.sqlite3"


def test_an_attempt_comes_back_as_it_was_written(path: Path) -> None:
    with Records(path) as records:
        attempt = begin(records)
        for act in ACTS:
            attempt.act(act)
        attempt.beat(60)
        attempt.finish(JUDGEMENT, FACTS, "f00d")
    with Records(path) as records:
        assert records.messages == []
        stored = records.load("last")
    assert stored.acts == ACTS
    assert (stored.number, stored.exercise, stored.exercise_digest) == (1, "first", "d1")
    assert (stored.canonical, stored.level, stored.seat) == ('{"name":"first"}', "check", "solo")
    assert (stored.seed, stored.engine, stored.started) == (7, 1, "2031-05-04T10:00:00Z")
    assert (stored.beat, stored.outcome, stored.points) == (60, "passed", 91.5)
    assert stored.judgement == JUDGEMENT
    assert stored.digest == "f00d"
    assert stored.facts is not None
    assert unpack(stored.facts)[0] == [row(0), row(1)]


def test_the_history_has_the_published_keys(path: Path) -> None:
    with Records(path) as records:
        attempt = begin(records)
        attempt.finish(JUDGEMENT, FACTS, "f00d")
        begin(records, level="coached", name="second")
        assert records.history() == [
            {
                "attempt": 1,
                "exercise": "first",
                "level": "check",
                "seat": "solo",
                "started": "2031-05-04T10:00:00Z",
                "outcome": "passed",
                "points": 91.5,
                "counts": True,
                "interrupted": 0,
                "seed": 7,
                "state": "ended",
            },
            {
                "attempt": 2,
                "exercise": "second",
                "level": "coached",
                "seat": "solo",
                "started": "2031-05-04T10:00:00Z",
                "outcome": None,
                "points": None,
                "counts": False,
                "interrupted": 0,
                "seed": 7,
                "state": "flying",
            },
        ]


def test_an_attempt_without_an_end_is_being_flown_was_left_or_was_cut_off(path: Path) -> None:
    with Records(path) as records:
        begin(records)
        left = begin(records)
        left.act(ACTS[0])
        left.left(31)
        assert [one["state"] for one in records.history()] == ["flying", "left"]
    with Records(path) as records:
        killed = records.history(is_alive=lambda _token: False)
        assert [one["state"] for one in killed] == ["killed", "left"]
        assert records.load(2).acts == (ACTS[0],)
        again = records.reopen(2)
        again.act(ACTS[1])
        assert [one["state"] for one in records.history()] == ["flying", "flying"]
        again.finish(JUDGEMENT, FACTS, "f00d")
        assert records.history()[1]["state"] == "ended"


@pytest.mark.parametrize(
    ("level", "interruptions", "is_finished", "counts"),
    [
        ("check", 0, True, True),
        ("check", 1, True, False),
        ("check", 0, False, False),
        ("coached", 0, True, False),
        ("guided", 0, True, False),
        ("segment", 0, True, False),
    ],
)
def test_only_an_uninterrupted_check_that_ended_counts(
    path: Path, level: str, interruptions: int, is_finished: bool, counts: bool
) -> None:
    with Records(path) as records:
        attempt = begin(records, level=level)
        for step in range(interruptions):
            attempt.interrupted(step, "a gap of 9 s")
        if is_finished:
            attempt.finish(JUDGEMENT, FACTS, "f00d")
        found = records.history()[0]
    assert (found["counts"], found["interrupted"]) == (counts, interruptions)


def test_an_exercise_is_kept_once_however_often_it_is_flown(path: Path) -> None:
    with Records(path) as records:
        for _ in range(3):
            begin(records)
        begin(records, digest="d2", exercise_canonical="{}")
    with sqlite3.connect(path) as connection:
        assert connection.execute("SELECT digest FROM exercises ORDER BY 1").fetchall() == [
            ("d1",),
            ("d2",),
        ]
    connection.close()


def test_a_seed_beyond_64_bits_is_kept(path: Path) -> None:
    with Records(path) as records:
        begin(records, seed=2**70 + 1).finish(JUDGEMENT, FACTS, "f00d")
        assert records.load("last").seed == 2**70 + 1


def test_last_is_the_newest_attempt_that_ended(path: Path) -> None:
    with Records(path) as records:
        with pytest.raises(NoSuchAttempt, match="no attempt"):
            records.load("last")
        begin(records).finish(JUDGEMENT, FACTS, "one")
        begin(records)
        assert records.load("last").number == 1
        assert records.load(2).judgement is None
        assert records.load("2").outcome is None


@pytest.mark.parametrize("wrong", [3, "3", "-1", "1.0", "x" * 200, "", "٣", "9" * 40])
def test_an_attempt_that_does_not_exist_is_a_users_mistake(path: Path, wrong: int | str) -> None:
    with Records(path) as records:
        begin(records)
        with pytest.raises(NoSuchAttempt):
            records.load(wrong)


def test_acts_that_were_rewound_do_not_count_but_stay_in_the_log(path: Path) -> None:
    with Records(path) as records:
        attempt = begin(records, level="coached")
        for act in ACTS:
            attempt.act(act)
        attempt.rewound(70, 40)
        stored = records.load(1)
    assert stored.acts == ACTS[:2]
    assert [entry.kind for entry in stored.entries] == ["act", "act", "act", "rewound"]


# Going on --------------------------------------------------------------------------------------


def test_the_newest_unfinished_attempt_of_no_living_process_can_be_resumed(path: Path) -> None:
    with Records(path) as records:
        begin(records).finish(JUDGEMENT, FACTS, "one")
        begin(records).act(ACTS[0])
        assert records.unfinished() is None  # this process lives
        assert records.unfinished(is_alive=lambda token: False) == 2
        attempt = records.reopen(2)
        attempt.act(ACTS[1])
        attempt.finish(JUDGEMENT, FACTS, "two")
        assert records.unfinished(is_alive=lambda token: False) is None
    with Records(path) as records:
        assert records.load(2).acts == ACTS[:2]


def test_an_attempt_that_ended_is_not_reopened(path: Path) -> None:
    with Records(path) as records:
        begin(records).finish(JUDGEMENT, FACTS, "one")
        with pytest.raises(NoSuchAttempt, match="has ended"):
            records.reopen(1)


# Disks that fail --------------------------------------------------------------------------------


def fly_and_check(records: Records) -> None:
    """A whole attempt must work, whatever the records are worth."""
    attempt = begin(records)
    for act in ACTS:
        attempt.act(act)
    attempt.beat(60)
    attempt.interrupted(61, "suspended")
    attempt.finish(JUDGEMENT, FACTS, "f00d")
    stored = records.load("last")
    assert (stored.number, stored.acts, stored.judgement) == (attempt.number, ACTS, JUDGEMENT)
    assert records.history()[-1]["interrupted"] == 1


def test_without_a_place_everything_works_in_memory_and_says_so() -> None:
    with Records(None) as records:
        assert not records.is_kept
        assert "no place" in records.messages[0]
        fly_and_check(records)


def test_a_folder_that_cannot_be_made_means_memory(tmp_path: Path) -> None:
    (tmp_path / "home").write_text("a file where a folder should be")
    with Records(tmp_path / "home" / "attempts.sqlite3") as records:
        assert not records.is_kept
        assert "no records can be kept there" in records.messages[0]
        fly_and_check(records)
    assert (tmp_path / "home").read_text() == "a file where a folder should be"


def test_a_folder_in_place_of_the_file_means_memory(tmp_path: Path) -> None:
    with Records(tmp_path) as records:
        assert not records.is_kept
        fly_and_check(records)


def full(records: Records) -> None:
    """Make the disk full: the file may not grow by one more page."""
    connection = records._databases.file
    assert connection is not None
    connection.execute("PRAGMA max_page_count=1")


def test_a_disk_that_fills_up_before_the_flight_means_memory(path: Path) -> None:
    with Records(path) as records:
        full(records)
        fly_and_check_large(records)
        assert not records.is_kept


def fly_and_check_large(records: Records) -> None:
    attempt = begin(records, exercise_canonical="x" * 100_000, digest="big")
    attempt.act(ACTS[0])
    attempt.finish(JUDGEMENT, FACTS, "f00d")
    assert records.load(attempt.number).acts == ACTS[:1]
    assert records.load(attempt.number).canonical == "x" * 100_000


def test_a_disk_that_fills_up_during_the_flight_loses_nothing(path: Path) -> None:
    with Records(path) as records:
        begin(records).finish(JUDGEMENT, FACTS, "before")
        attempt = begin(records)
        attempt.act(ACTS[0])
        full(records)
        texts = [f"{number:04d}" * 2000 for number in range(4)]
        for number, text in enumerate(texts):
            attempt.act(Act(40 + number, 1 + number, "pilot", "say", text=text, began=40))
        attempt.finish(JUDGEMENT, FACTS, "f00d")
        assert len(records.messages) == 1
        assert "full" in records.messages[0]
        stored = records.load("last")
        assert stored.number == 2
        assert [act.text for act in stored.acts] == ["", *texts]
        assert [one["attempt"] for one in records.history()] == [1, 2]
        lines = records.lines(is_alive=lambda _token: False)
        assert [line.split()[::4] for line in lines] == [["1", "passed"], ["2", "passed"]]
        assert begin(records).number == 3
    with Records(path) as records:  # what was acknowledged by the disk is still there
        assert records.load(2).acts == ACTS[:1]


def test_the_lines_of_the_history_say_what_became_of_each(path: Path) -> None:
    with Records(path) as records:
        begin(records).finish({**JUDGEMENT, "points": None}, FACTS, "f00d")
        begin(records, level="coached").finish(JUDGEMENT, FACTS, "f00d")
        begin(records, name="a-name-longer-than-its-column").left(5)
        begin(records)
        lines = records.lines(is_alive=lambda _token: False)
    assert lines == [
        "   1  2031-05-04T10:00:00Z  first               check    passed            counts",
        "   2  2031-05-04T10:00:00Z  first               coached  passed        92",
        "   3  2031-05-04T10:00:00Z  a-name-longer-than-its-column check    left",
        "   4  2031-05-04T10:00:00Z  first               check    cut off",
    ]


def test_the_newest_attempts_and_the_last_results_are_found_without_the_others(path: Path) -> None:
    with Records(path) as records:
        for name in ("first", "second", "first", "third"):
            begin(records, name=name).finish(JUDGEMENT, FACTS, "f00d")
        begin(records, name="second")
        assert [one["attempt"] for one in records.history(most=2)] == [4, 5]
        assert records.count() == 5
        last = records.last_results()
    assert {name: one["attempt"] for name, one in last.items()} == {
        "first": 3, "second": 2, "third": 4,
    }  # fmt: skip
