"""The help of every screen, and keys named as they are bound."""

from __future__ import annotations

import importlib
import pkgutil
import re

import pytest

from tests.app.help import FLARE, HandClock, Outside
from tests.app.test_app import NORMAL, Bench, bench, fly
from tests.project.sources import ROOT
from trainer.app import screens
from trainer.app.app import TrainerApp
from trainer.app.keymap import DEFAULT
from trainer.app.launch import Start
from trainer.app.pages import NAME_CELLS, help_lines, sections
from trainer.app.screens.base import BaseScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.text import TextScreen
from trainer.app.settings import Settings
from trainer.app.widgets.hints import idle_text


def helped() -> set[str]:
    """The sections that screens ask for; home and history are asked for by the app."""
    found = {"Home", "History"}
    for module in pkgutil.iter_modules(screens.__path__):
        for one in vars(importlib.import_module(f"{screens.__name__}.{module.name}")).values():
            if isinstance(one, type) and issubclass(one, BaseScreen) and one.HELP:
                found.add(one.HELP)
    return found


def test_every_screen_has_its_section_and_every_section_its_screen() -> None:
    assert set(sections()) == helped()
    for title, entries in sections().items():
        assert len(entries) >= 2, title
        for name, about in entries:
            assert about.endswith("."), name
            assert not re.search(r"[`*]", about), name
            assert len(name) <= NAME_CELLS, name


def test_every_heading_of_the_debrief_is_explained() -> None:
    source = (ROOT / "trainer" / "app" / "screens" / "debrief_lines.py").read_text("utf-8")
    headings = set(re.findall(r'_heading\("([A-Z ]+?) ?[("]', source))
    assert len(headings) >= 5
    assert headings <= {name.upper() for name, _ in sections()["Debrief"]}


async def asked(at: Bench, title: str, *way_back: str) -> None:
    """`?` and F1 open the help of this screen; keys close it again."""
    below = at.app.screen
    for key in ("?", "f1"):
        await at.press(key)
        assert at.shows(TextScreen), key
        assert f"WHAT STANDS WHERE: {title}" in at.text()
        assert help_lines(title)[0][:30].rstrip() in at.text()
        await at.press(key)
        assert at.app.screen is below
    await at.press(*way_back)


async def test_a_question_mark_explains_each_screen_from_home() -> None:
    async with bench() as at:
        await at.press("b")
        await at.pilot.pause(0.3)
        await at.settle()
        await asked(at, "Brief", "escape")
        await at.press("g")
        await at.pilot.pause(0.3)
        await at.settle()
        await asked(at, "Segments", "o")
        await asked(at, "Own segment", "f10", "escape")
        await at.press("o")
        await asked(at, "Settings", "escape")
        await at.press("h")
        await asked(at, "History", "escape")
        await at.press("f1")
        assert "WHAT STANDS WHERE" in at.text()


async def test_the_set_up_keeps_its_key_list_and_explains_itself_by_f1() -> None:
    async with bench(Start("straight-in", "check", 0, prepares=True)) as at:
        await at.press("f1")
        assert "WHAT STANDS WHERE: Set-up" in at.text()
        await at.press("f1", "?")
        assert "NUMBER, THEN KEY" in at.text()


async def test_debrief_and_replay_are_explained_once_no_call_can_be_meant() -> None:
    async with bench(fly("check", FLARE, "phase: rollout")) as at:
        await at.pass_time(20.0)
        await at.press("?")
        assert not at.shows(TextScreen)
        at.clock.advance(5.0)
        await asked(at, "Debrief", "f7")
        await asked(at, "Replay", "escape")
        await at.press("escape")
        assert at.shows(HomeScreen)


@pytest.mark.parametrize(("name", "key", "shown"), [("pause", "f9", "F9"), ("pause", "X", "X")])
async def test_a_question_names_the_key_as_it_is_bound(name: str, key: str, shown: str) -> None:
    settings = Settings(DEFAULT.changed({name: key}))
    clock = HandClock()
    outside = Outside()
    app = TrainerApp(outside, fly("coached"), clock, settings=settings)
    async with app.run_test(size=NORMAL) as pilot:
        at = Bench(app, pilot, clock, outside)
        await at.settle()
        await at.press(key)
        assert f"{shown} or Enter go on" in at.text()
        await at.press("f2")
        assert at.flight.driver.is_paused
        await at.press(key)
        assert not at.flight.driver.is_paused


def test_what_is_said_of_fast_time_names_its_key() -> None:
    changed = DEFAULT.changed({"faster": "X"})
    assert "X runs time" in idle_text(changed)
    assert changed.shown("help") == "?"
    assert DEFAULT.shown("pause") == "F2"
