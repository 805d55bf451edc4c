"""The attempt file opens elsewhere, and a file that was tampered with is not believed."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.records.flown import careless, kept
from trainer import ENGINE
from trainer.records.attempt_file import (
    AttemptFileError,
    attempt_from_text,
    attempt_text,
    read_attempt_file,
)
from trainer.records.journal import Segment
from trainer.records.store import Records
from trainer.records.stored import Stored


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Stored:
    return kept(tmp_path_factory.mktemp("records") / "attempts.sqlite3")


@pytest.fixture(scope="module")
def document(stored: Stored) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(attempt_text(stored))
    return found


def test_everything_of_an_attempt_comes_back_from_its_file(stored: Stored, tmp_path: Path) -> None:
    path = tmp_path / "one.attempt.json"
    path.write_text(attempt_text(stored), encoding="ascii")
    found = read_attempt_file(path)
    assert found.file == str(path)
    assert (found.entries, found.acts, found.facts) == (stored.entries, stored.acts, stored.facts)
    for key in ("exercise", "exercise_digest", "canonical", "level", "seat", "seed", "engine",
                "started", "steps", "outcome", "points", "judgement", "digest"):  # fmt: skip
        assert getattr(found, key) == getattr(stored, key), key


def test_the_file_names_its_format_and_carries_the_notice(document: dict[str, Any]) -> None:
    assert (document["format"], document["version"]) == ("approach-drill/attempt", 1)
    assert document["notice"].startswith("For training on fictional types; not for navigation")
    assert document["composed"]["name"] == "straight-in"
    first = document["log"][0]
    assert list(first)[:2] == ["kind", "step"]
    assert set(first) == {"kind", "step", "serial", "by", "act", "control", "value", "text",
                          "began"}  # fmt: skip


def test_an_unfinished_attempt_can_be_carried_over_too(tmp_path: Path) -> None:
    session, _ = careless()
    exercise = session.exercise
    with Records(tmp_path / "attempts.sqlite3") as records:
        attempt = records.begin(
            exercise.canonical, exercise.digest, exercise.name, "segment", "solo", 3, ENGINE, "",
            Segment("coached", "", "distance: below 3 NM"),
        )  # fmt: skip
        attempt.act(session.flight.acts[0])
        attempt.interrupted(40, "a gap")
        attempt.beat(60)
        attempt.rewound(61, 50)
        attempt.left(50)
        stored = records.load(1)
    found = attempt_from_text(attempt_text(stored), "one")
    assert found.entries == stored.entries
    assert found.segment == ("coached", "", "distance: below 3 NM")
    assert (found.facts, found.outcome, found.steps) == (None, None, 60)


BROKEN: dict[str, Callable[[dict[str, Any]], object]] = {
    "no attempt file": lambda d: d.update(format="approach-drill/judgement"),
    "an attempt file of version": lambda d: d.update(version=2),
    "seed: expected a whole number from 0": lambda d: d.update(seed=-1),
    "engine: expected a whole number": lambda d: d.update(engine=True),
    "steps: expected a whole number": lambda d: d.update(steps=10**9),
    "log: expected a list": lambda d: d.update(log="act"),
    "log entry 1: expected a mapping": lambda d: d["log"].__setitem__(0, 7),
    'log entry 1: kind: not "acts"; did you mean "act"?': lambda d: d["log"][0].update(kind="acts"),
    'log entry 2: act: not "pres"; did you mean "press"?': lambda d: d["log"][1].update(act="pres"),
    "log entry 1: step": lambda d: d["log"][0].update(step=1.5),
    "control: not": lambda d: d["log"][0].update(act="press", control="ejection seat"),
    "value: expected a text": lambda d: d["log"][0].update(value=["x"]),
    "text: expected a text": lambda d: d["log"][0].update(text="x" * 5000),
    "composed": lambda d: d.pop("composed"),
    "flight: not readable as base64": lambda d: d.update(flight="%%%"),
    "flight: an attempt that ended": lambda d: d.update(flight=None),
    "exercise: expected a text": lambda d: d.update(exercise=None),
}


@pytest.mark.parametrize("message", BROKEN)
def test_a_broken_file_is_refused_with_its_name_and_the_place(
    document: dict[str, Any], message: str
) -> None:
    broken = json.loads(json.dumps(document))
    BROKEN[message](broken)
    with pytest.raises(AttemptFileError) as caught:
        attempt_from_text(json.dumps(broken), "quill.attempt.json")
    assert str(caught.value).startswith("quill.attempt.json: ")
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "text", [b"", b"\xff\xfe\x00", b"[" * 100_000, b'{"seed": NaN}', b"[]", b"7", b'"text"',
             b"9" * 6000],
    ids=range(8),
)  # fmt: skip
def test_what_is_no_attempt_file_at_all_is_said_to_be_none(text: bytes) -> None:
    with pytest.raises(AttemptFileError, match="no attempt file"):
        attempt_from_text(text, "other.json")


def test_control_characters_of_a_file_do_not_reach_a_message(document: dict[str, Any]) -> None:
    broken = json.loads(json.dumps(document))
    broken["log"][0]["act"] = "\x1b]0;title\x07"
    with pytest.raises(AttemptFileError) as caught:
        attempt_from_text(json.dumps(broken), "one")
    assert "\x1b" not in str(caught.value)


def test_a_missing_file_and_a_folder_are_users_mistakes(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "nowhere.json"):
        with pytest.raises(AttemptFileError, match="cannot be read"):
            read_attempt_file(path)
