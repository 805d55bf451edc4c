"""What must hold on every screen: any key, any text, any size, in any order."""

from __future__ import annotations

import os
import random
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import pytest
from textual import events
from textual.screen import Screen

from tests.app.screens import SCREENS, classes
from tests.app.test_app import Bench, bench
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.preparation import PreparationScreen
from trainer.text import is_refused

NAMED = (
    "up", "down", "left", "right", "pageup", "pagedown", "home", "end", "enter", "backspace",
    "space", "tab", "shift+tab", "escape", "delete", "insert", "ctrl+c", "ctrl+q", "ctrl+p",
    "ctrl+s", *(f"f{number}" for number in range(1, 13)),
)  # fmt: skip
KEYS = (*NAMED, *(chr(code) for code in range(33, 127)), "é", "漢")
ALIKE = ("again", "back", "flight, guided")
"""Screens that differ from another one here only by their words."""
SIZES = ((1, 1), (10, 3), (79, 24), (80, 23), (80, 24), (81, 25), (99, 29), (100, 30), (139, 37),
         (140, 40), (300, 12), (30, 100), (250, 80))  # fmt: skip


@asynccontextmanager
async def on(name: str, size: tuple[int, int] = (100, 30)) -> AsyncIterator[tuple[Bench, Any]]:
    """A bench that shows one screen; ending the program is only remembered."""
    async with bench(size=size, listed=[]) as at:
        at.app.exit = lambda *_: None  # type: ignore[method-assign]
        screen = SCREENS[name][1](at)
        at.app.push_screen(screen)
        await ready(at, screen)
        yield at, screen


async def ready(at: Bench, screen: Screen[Any]) -> None:
    """Wait until a screen stands, with what it works out beside it, and stop its clock."""
    await at.settle()
    running = [one for one in at.app.workers if not one.is_finished]
    await at.app.workers.wait_for_complete(running)
    await at.settle()
    await at.laid_out()
    timer = getattr(screen, "timer", None)
    if timer is not None:
        timer.pause()


async def pressed(at: Bench, key: str) -> None:
    """Press one key and wait until it has been taken, not until everything is laid out."""
    character = " " if key == "space" else key if len(key) == 1 else None
    at.app.post_message(events.Key(key, character))
    await at.taken(at.app)
    await at.taken(at.app.screen)
    timer = getattr(at.app.screen, "timer", None)
    if timer is not None:
        timer.pause()


def test_every_screen_of_the_program_is_tried_here() -> None:
    assert {kind for kind, _ in SCREENS.values()} == classes()


@pytest.mark.parametrize("name", SCREENS)
async def test_texts_of_files_are_shown_as_they_are(name: str) -> None:
    async with on(name, (140, 40)) as (at, screen):
        if isinstance(screen, FlightScreen):
            screen.paint()
            await at.settle()
        text = at.text()
    assert not [sign for sign in text if sign != "\n" and is_refused(sign)]
    if name not in ("pause", "again", "back", "leave"):
        assert "[/" in text, "no nasty text is drawn here: the test tries nothing"


@pytest.mark.parametrize(
    "name",
    [
        # Most keys of a flight open or close something: one level here, the other takes as long.
        pytest.param(name, marks=pytest.mark.long) if name == "flight, coached" else name
        for name in SCREENS
        if name not in ALIKE
    ],
)
async def test_any_key_may_be_pressed(name: str) -> None:
    async with on(name) as (at, screen):
        for key in KEYS:
            if at.app.screen is not screen:
                while len(at.app.screen_stack) > 1:
                    at.app.pop_screen()
                screen = SCREENS[name][1](at)
                at.app.push_screen(screen)
                await at.settle()
            at.clock.advance(3.0)
            if isinstance(screen, FlightScreen | PreparationScreen):
                screen.router.forget()  # an open line would take every letter
            await pressed(at, key)
            assert at.app.is_running
        assert at.app.return_value is None


@pytest.mark.parametrize("name", [name for name in SCREENS if name not in ALIKE])
async def test_after_a_storm_of_sizes_a_screen_looks_as_if_it_had_never_had_another(
    name: str,
) -> None:
    chance = random.Random(f"sizes of {name}")
    async with on(name, (80, 24)) as (at, screen):
        before = at.text()
        for _ in range(5):
            await at.pilot.resize_terminal(*chance.choice(SIZES))
        await at.pilot.resize_terminal(80, 24)
        await ready(at, screen)
        assert at.text() == before


async def wander(seed: int, presses: int) -> None:
    """Press keys at random from home on, let time pass now and then, and look at the screen."""
    chance = random.Random(seed)
    async with bench() as at:
        at.app.exit = lambda *_: None  # type: ignore[method-assign]
        for count in range(presses):
            key = chance.choice(NAMED if chance.random() < 0.4 else KEYS)
            await pressed(at, key)
            at.clock.advance(chance.choice((0.0, 0.1, 0.3, 3.0)))
            if isinstance(at.app.screen, FlightScreen):
                at.app.screen.tick()
                await at.settle()
            if count % 50 == 0:
                width, height = chance.choice(SIZES)
                await at.pilot.resize_terminal(width, height)
                assert at.text().strip()
            assert at.app.is_running, (seed, count, key)
            assert len(at.app.screen_stack) <= 5, at.app.screen_stack


async def test_a_few_hundred_keys_at_random_break_nothing() -> None:
    await wander(1, 250)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(int(os.environ.get("KEY_SEEDS", "10"))))
async def test_ten_thousand_keys_at_random_break_nothing(seed: int) -> None:
    await wander(100 + seed, 1000)
