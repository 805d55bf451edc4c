"""Helpers of the app's tests: exercises, drivers, a fake outside world, the text of a screen."""

from __future__ import annotations

import html
import re
from collections.abc import Mapping, Sequence
from functools import cache

from textual.app import App

from trainer.app.clock import HandClock
from trainer.app.debriefing import DebriefText
from trainer.app.driver import Driver
from trainer.app.listing import Listed
from trainer.app.local import LocalServices
from trainer.app.profile import Sample
from trainer.app.resumed import Resumed
from trainer.app.services import Recorder
from trainer.app.settings import Settings, parse
from trainer.app.settling import Change, changed
from trainer.briefing.sheet import Sheet
from trainer.crew.session import Session
from trainer.flight.acts import Act
from trainer.judge.judgement import Judgement
from trainer.records.journal import WHOLE, Segment
from trainer.records.store import Records
from trainer.scenario import compose, library
from trainer.scenario.crew_files import parse_moment_text
from trainer.scenario.draw import draw
from trainer.scenario.exercise import Exercise
from trainer.scenario.moments import Moment

FLARE = "radio height: below 60 ft"


@cache
def straight_in() -> Exercise:
    """As written: what is drawn by choice is left out, as in every flight of seed 0."""
    return draw(compose.load("straight-in", library.default_library()), 0)


def moment(text: str) -> Moment:
    return parse_moment_text(text, straight_in())


class Diary:
    """A recorder that remembers what it was told."""

    def __init__(self) -> None:
        self.acts: list[Act] = []
        self.beats: list[int] = []
        self.interruptions: list[int] = []
        self.judgements: list[Judgement] = []
        self.left: list[int] = []
        self.rewinds: list[tuple[int, int]] = []

    def act(self, act: Act) -> None:
        self.acts.append(act)

    def beat(self, step: int) -> None:
        self.beats.append(step)

    def interrupted(self, step: int) -> None:
        self.interruptions.append(step)

    def rewound(self, step: int, to_step: int) -> None:
        self.rewinds.append((step, to_step))

    def leave(self, step: int) -> str:
        self.left.append(step)
        return "Attempt 7 was left: kept as unfinished"

    def finish(self, session: Session, judgement: Judgement) -> None:
        self.judgements.append(judgement)

    def export(self) -> str:
        return f"written: attempt of {len(self.acts)} acts"


class Outside:
    """Services on the built-in files, with a diary instead of records."""

    def __init__(self, listed: Sequence[Listed] | None = None) -> None:
        self._real = LocalServices(Records(None))
        self._listed = listed
        self.diaries: list[Diary] = []
        self.seeds: list[int] = []
        self.levels: list[str] = []
        self.points: list[float] = []
        self.due_days: dict[str, int] = {}
        self.is_first_start = False
        self.settings_text = ""

    def listed(self) -> Sequence[Listed]:
        return self._real.listed() if self._listed is None else self._listed

    def notice(self) -> str:
        return ""

    def due(self) -> Mapping[str, int]:
        return self.due_days

    def sample(self, name: str) -> Sample | None:
        return self._real.sample(name)

    def exercise(self, name: str, seed: int) -> Exercise:
        self.seeds.append(seed)
        return self._real.exercise(name, seed)

    def moment(self, text: str, exercise: Exercise) -> Moment:
        return self._real.moment(text, exercise)

    def fresh_seed(self) -> int:
        return 4711 + len(self.seeds)

    def brief(self, exercise: Exercise) -> Sheet:
        return self._real.brief(exercise)

    def settings_file(self) -> str:
        return "config.toml"

    def settle(self, change: Change) -> Settings:
        text = changed(self.settings_text, change)
        settings = parse(text, "config.toml")
        self.settings_text = text
        return settings

    def is_new(self) -> bool:
        return self.is_first_start

    def tour_begun(self) -> None:
        self.is_first_start = False

    def history(self) -> Sequence[str]:
        return self._real.history()

    def trend(self, exercise: str, from_moment: str, until_moment: str) -> Sequence[float]:
        return self.points

    def recorder(self, exercise: Exercise, level: str, segment: Segment = WHOLE) -> Recorder:
        self.diaries.append(Diary())
        self.levels.append(level)
        return self.diaries[-1]

    def unfinished(self) -> int | None:
        return None

    def resume(self, number: int | None) -> Resumed:
        raise AssertionError(f"nothing was left, yet {number} is asked for")

    def debrief(
        self, session: Session, judgement: Judgement, has_ladder: bool = False
    ) -> DebriefText:
        return self._real.debrief(session, judgement)

    def what_if(self, session: Session, judgement: Judgement, item: str) -> Sequence[str]:
        return self._real.what_if(session, judgement, item)

    def differs(
        self, session: Session, judgement: Judgement, item: str, wish: str
    ) -> tuple[bool, str]:
        raise AssertionError(f"{item}: no house file is written in a test of the app")


def driver(level: str, start: str = "", until: str = "", diary: Diary | None = None) -> Driver:
    """A driver of the straight-in exercise, told the time 0 s."""
    told = Diary() if diary is None else diary
    made = Driver(
        Session(straight_in()),
        level,
        start=moment(start) if start else None,
        until=moment(until) if until else None,
        on_act=told.act,
        on_beat=told.beat,
        on_interruption=told.interrupted,
        on_rewind=told.rewound,
    )
    made.advance(0.0)
    return made


def run(made: Driver, from_s: float, to_s: float, every_s: float = 0.2) -> int:
    """Advance in small strides of real time; returns the steps flown."""
    flown = 0
    for place in range(1, round((to_s - from_s) / every_s) + 1):
        flown += made.advance(from_s + place * every_s)
    return flown


def screen_text(app: App[int]) -> str:
    """The text nodes of the exported screenshot, one line a row."""
    rows: dict[float, list[tuple[float, str]]] = {}
    pattern = re.compile(r'<text class="[^"]*" x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>', re.S)
    for x, y, text in pattern.findall(app.export_screenshot()):
        rows.setdefault(float(y), []).append((float(x), html.unescape(text).replace("\xa0", " ")))
    cell = 12.2  # width of a cell in the screenshot
    lines = []
    for y in sorted(rows):
        line = ""
        for x, text in sorted(rows[y]):
            line = line.ljust(round(x / cell)) + text
        lines.append(line.rstrip())
    return "\n".join(lines) + "\n"


__all__ = ["FLARE", "Diary", "HandClock", "Outside", "driver", "moment", "run", "screen_text"]
