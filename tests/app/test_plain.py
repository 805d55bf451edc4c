"""Flying in lines: the words, what is told, a whole flight typed, real standard input."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from tests.app.help import FLARE, Diary, HandClock, driver, straight_in
from trainer.app.console import write_line
from trainer.app.keymap import DEFAULT
from trainer.app.plain import PlainFlight, converse
from trainer.app.router import Ask, Draft, Note
from trainer.app.spoken import Speaker, morse_words, status_lines
from trainer.app.typed import GoOn, Opened, Tell, Typed, Wait, to_type, typed
from trainer.app.view import view_of
from trainer.flight.acts import Act
from trainer.world.morse import encode


def read(line: str) -> list[Typed]:
    return typed(line, 70, straight_in(), DEFAULT)


class Script:
    """An inbox with lines of its own; time passes while nobody types."""

    def __init__(self, lines: Iterable[str], clock: HandClock) -> None:
        self._lines = list(lines)
        self._clock = clock

    @property
    def is_closed(self) -> bool:
        return not self._lines

    def take(self, seconds: float) -> str | None:
        self._clock.advance(seconds)
        return self._lines.pop(0) if self._lines else None

    def rest(self, seconds: float) -> None:
        self._clock.advance(seconds)


class Obedient:
    """Types whatever it is told to type."""

    is_closed = False

    def __init__(self, told: list[str], clock: HandClock) -> None:
        self._told = told
        self._clock = clock
        self._read = 0

    def take(self, seconds: float) -> str | None:
        self._clock.advance(seconds)
        fresh, self._read = self._told[self._read :], len(self._told)
        wanted = [match.group(1) for line in fresh if (match := re.search(r"Type: (.*)", line))]
        return wanted[-1].partition(" (")[0] if wanted else None

    def rest(self, seconds: float) -> None:
        self._clock.advance(seconds)


def flown(
    level: str, lines: Iterable[str], start: str = "", until: str = ""
) -> tuple[PlainFlight, list[str], Diary]:
    diary, clock, told = Diary(), HandClock(), list[str]()
    made = driver(level, start, until, diary)
    flight = PlainFlight(made, told.append)
    converse(flight, Script(lines, clock), clock)
    return flight, told, diary


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("heading 143", Draft("set", "heading", "143")),
        ("Heading 143 deg", Draft("set", "heading", "143")),
        ("143h", Draft("set", "heading", "143")),
        ("-700v", Draft("set", "vertical speed", "-700")),
        ("vertical speed -700", Draft("set", "vertical speed", "-700")),
        ("approach mode", Draft("press", "approach mode")),
        ("p", Draft("press", "approach mode")),
        ("altitude hold", Draft("press", "altitude hold")),
        ("altitude 3000", Draft("set", "altitude", "3000")),
        ("flaps 22", Draft("move", "flaps", "22")),
        ("flaps", Draft("move", "flaps", "next")),
        ("F", Draft("move", "flaps", "previous")),
        ("gear down", Draft("move", "gear", "down")),
        ("gear", Draft("move", "gear", "toggle")),
        ("say glide alive", Draft("say", text="glide alive", began=70)),
        ("read back QNH 1012", Draft("read back", text="QNH 1012", began=70)),
        ("say", Opened("say")),
        ("R", Opened("read back")),
        ("checklist", Draft("checklist")),
        ("2j", Draft("checklist", value="2")),
        ("confirm", Draft("line")),
        ("brief minimum 225", Draft("brief", "minimum", "225")),
        ("brief final fix, distance 9.0", Draft("brief", "final fix, distance", "9.0")),
        ("wait 12.5 s", Wait(12.5)),
        ("", GoOn()),
        ("?", Tell("help")),
        ("? gear", Tell("gear")),
        ("pause", Ask("pause")),
        ("+", Ask("faster")),
    ],
)
def test_a_line_is_read_as_words_or_as_keys(line: str, wanted: Typed) -> None:
    assert read(line) == [wanted]


def test_several_keys_stand_in_one_line() -> None:
    assert read("143h h") == [Draft("set", "heading", "143"), Draft("press", "heading mode")]


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("hedding 143", "is no word or key here"),
        ("aproach mode", 'did you mean "approach mode"?'),
        ("gaer down", 'did you mean "gear"?'),
        ("glide alive", "a call begins with `say`"),
        ("heading north", "heading needs a number, as in `heading 180`"),
        ("approach mode 7", "takes no value"),
        ("flaps 23", "it has 0, 4"),
        ("wait long", "wait needs seconds"),
        ("checklist nine", "no checklist"),
    ],
)
def test_a_line_that_means_nothing_says_what_would(line: str, reason: str) -> None:
    (note,) = read(line)
    assert isinstance(note, Note)
    assert reason in note.text


@pytest.mark.parametrize(
    "act",
    [
        Act(0, 0, "crew", "press", "second autopilot"),
        Act(0, 0, "crew", "set", "frequency", "110.35"),
        Act(0, 0, "crew", "move", "flaps", "22"),
        Act(0, 0, "crew", "move", "spoilers", "armed"),
        Act(0, 0, "crew", "say", text="localizer alive"),
    ],
)
def test_what_is_told_to_be_typed_is_read_as_that_act(act: Act) -> None:
    (draft,) = read(to_type(act))
    assert isinstance(draft, Draft)
    assert (draft.act, draft.control, draft.value, draft.text) == (
        act.act, act.control, act.value, act.text,
    )  # fmt: skip


def test_whoever_types_what_guided_asks_for_flies_without_a_fault() -> None:
    told: list[str] = []
    clock, diary = HandClock(), Diary()
    made = driver("guided", diary=diary)
    flight = PlainFlight(made, told.append)
    converse(flight, Obedient(told, clock), clock)
    assert made.is_over
    judgement = made.session.judgement()
    assert judgement.outcome == "passed"
    assert judgement.points == 100.0
    text = "\n".join(told)
    for part in ("ATC: ", "lateral: LOC", "armed: GLIDE", "flaps 22", "gear down", "ident: d"):
        assert part in text, part
    assert all(line.isprintable() for line in told)


def test_nothing_is_told_twice_while_nothing_changes() -> None:
    _, told, _ = flown("coached", ["wait 15"])
    assert len([line for line in told if "miles" in line]) <= 3


def test_coached_runs_in_real_time_and_a_pause_stands_still() -> None:
    flight, told, _ = flown("coached", ["wait 5", "pause", "wait 5", "status", "", "leave"])
    assert 50 <= flight.driver.row.step <= 60
    assert "time stands still; an empty line goes on" in told
    assert "time goes on" in told


def test_a_check_gives_no_hint_and_has_no_pause() -> None:
    _, told, _ = flown("check", ["pause", "step", "wait 60", "leave"])
    assert "there is no pause in a check" in told
    assert "not in a check" in told
    assert not [line for line in told if "Type: " in line or line.startswith(("due", "next"))]


def test_a_call_counts_from_the_line_that_opened_it() -> None:
    _, _, diary = flown("coached", ["say", "wait 3", "leave"])
    assert [act.text for act in diary.acts] == ["wait 3"]
    assert 0 <= diary.acts[0].began < diary.acts[0].step


def test_the_end_of_the_lines_leaves_the_flight() -> None:
    flight, _, _ = flown("guided", ["frequency 110.35"])
    assert flight.is_leaving
    assert not flight.driver.is_over


def test_help_names_what_this_aircraft_has_and_nothing_else() -> None:
    _, told, _ = flown("guided", ["?", "keys", "leave"])
    (controls,) = [line for line in told if line.startswith("controls: ")]
    assert "spoilers" in controls
    assert "propellers" not in controls
    assert not [line for line in told if "propellers" in line]


@pytest.mark.parametrize(("is_terminal", "lines"), [(True, 2), (False, 1)])
def test_a_long_line_is_broken_between_words_on_a_terminal_alone(
    is_terminal: bool,
    lines: int,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr("sys.stdout.isatty", lambda: is_terminal)
    monkeypatch.setenv("COLUMNS", "80")
    text = " ".join(["percent"] * 12)
    write_line(text)
    written = capsys.readouterr().out
    assert len(written.splitlines()) == lines
    assert written.split() == text.split()


def test_a_segment_is_flown_to_its_end() -> None:
    flight, _, _ = flown("coached", ["wait 60"], FLARE)
    assert flight.driver.is_over


def test_a_check_that_stood_still_goes_on_with_any_line() -> None:
    clock, told, diary = HandClock(), list[str](), Diary()
    made = driver("check", diary=diary)
    flight = PlainFlight(made, told.append)
    flight.begin()
    flight.tick(0.2)
    flight.tick(9.0)
    assert "interrupted: the check does not count; any line goes on" in told
    flight.take("gear down")
    assert not made.is_frozen
    assert not diary.acts
    assert clock() == 0.0


def test_morse_is_told_in_words() -> None:
    assert morse_words(encode("IQ")) == "dot dot, dash dash dot dash"
    assert morse_words("nothing heard") == "nothing heard"


def test_lines_from_a_pipe_fly_and_are_kept(tmp_path: Path) -> None:
    environment = {
        **os.environ,
        "HOME": str(tmp_path),
        "NO_COLOR": "1",
        "PYTHONIOENCODING": "ascii",
    }
    command = [
        sys.executable, "-m", "trainer", "fly", "straight-in", "--plain", "--level", "guided",
    ]  # fmt: skip
    done = subprocess.run(
        command, input="frequency 110.35\nidentify\n? gear\n", capture_output=True, text=True,
        env=environment, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 1, done.stderr
    assert "frequency set 110.35" in done.stdout
    assert "gear, a lever, key g: landing gear" in done.stdout
    assert done.stdout.splitlines()[-1].endswith("was left: kept as unfinished")
    assert "\x1b" not in done.stdout
    assert done.stdout.isascii()


def test_station_passage_and_a_computed_path_are_told() -> None:
    made = driver("check")
    view = view_of(made.row, made.scribe)
    before = replace(view, bearing_deg=140.0, to_from="TO")
    speaker = Speaker(before)
    passed = replace(view, bearing_deg=320.0, to_from="FROM", path_ft=-240.0)
    assert speaker.lines(passed) == ["bearing 320, from", "computed path 240 feet low"]
    assert speaker.lines(passed) == []
    assert "computed path 240 feet low, bearing 320 from" in "\n".join(status_lines(passed))
