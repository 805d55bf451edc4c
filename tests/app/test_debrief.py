"""The debrief screen: one finding at a time, flown again, asked about; nothing by accident."""

from __future__ import annotations

import asyncio
import os
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from textual.app import App
from textual.message import Message
from textual.pilot import Pilot

from tests.app.help import screen_text
from tests.report.judged import sample
from tests.report.test_renderers import NASTY, nasty_debrief
from trainer.app.clock import HandClock
from trainer.app.debriefing import DebriefText, debrief_text
from trainer.app.messages import FlyAgainRequested, HomeRequested, RepeatRequested
from trainer.app.screens.debrief import QUIET_S, Ask, DebriefScreen, Differ
from trainer.app.screens.debrief_lines import debrief_lines
from trainer.app.widgets.lines import plain
from trainer.errors import UserError
from trainer.text import is_refused, width

GOLDEN = Path(__file__).parent / "golden"
CSS = Path(__file__).parents[2] / "trainer" / "app" / "screens" / "base.tcss"


class Bench(App[int], inherit_bindings=False):
    """An application that shows one debrief and remembers what it asked for."""

    CSS_PATH = CSS
    ENABLE_COMMAND_PALETTE = False

    def __init__(
        self,
        text: DebriefText,
        ask: Ask | None,
        differ: Differ | None,
        more: Callable[[], DebriefText] | None = None,
    ) -> None:
        super().__init__()
        self.clock = HandClock()
        self.asked: list[Message] = []
        self.debrief = DebriefScreen(text, self.clock, ["check; stopped"], ask, differ, more)

    def on_mount(self) -> None:
        self.push_screen(self.debrief)

    def on_fly_again_requested(self, message: FlyAgainRequested) -> None:
        self.asked.append(message)

    def on_repeat_requested(self, message: RepeatRequested) -> None:
        self.asked.append(message)

    def on_home_requested(self, message: HomeRequested) -> None:
        self.asked.append(message)


@asynccontextmanager
async def shown(
    ask: Ask | None = None,
    size: tuple[int, int] = (80, 24),
    text: DebriefText | None = None,
    differ: Differ | None = None,
) -> AsyncIterator[tuple[Bench, Pilot[int]]]:
    """The debrief of the sample flight, its quiet time over."""
    app = Bench(text or debrief_text(sample()), ask, differ)
    async with app.run_test(size=size) as pilot:
        app.clock.advance(QUIET_S)
        yield app, pilot


@pytest.mark.parametrize("cells", [80, 100, 140])
def test_the_lines_are_the_golden_ones(cells: int) -> None:
    told = {"with this put right": {"landing flap": ("gate stable met",)}}
    made = debrief_lines(debrief_text(sample()), cells, 1, told)
    text = "\n".join(plain(line).rstrip() for line in made.lines) + "\n"
    golden = GOLDEN / f"debrief-{cells}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("text", NASTY)
def test_hostile_text_stays_text_and_inside_its_width(text: str) -> None:
    for line in debrief_lines(debrief_text(nasty_debrief(text)), 80).lines:
        assert not any(is_refused(character) for character in plain(line))
        assert width(plain(line)) <= 80


def test_the_chosen_finding_tells_all_and_the_others_their_verdict() -> None:
    text = debrief_text(sample())
    made = debrief_lines(text, 100, 1)
    assert [plain(made.lines[at]).strip() for at in made.starts] == [
        "1. gear down: late",
        "▶ 2. landing flap: missed",
        "3. final speed: wrong, corrected",
        "4. approach mode: early",
    ]
    opened = " ".join(plain(line) for line in made.lines[made.starts[1] : made.end])
    for label in ("expected:", "window:", "why:", "source:", "accepted instead:"):
        assert label in opened
    assert made.end == made.starts[2]


async def test_arrows_choose_and_f4_flies_from_before_what_is_chosen() -> None:
    text = debrief_text(sample())
    from_here = replace(text.findings[1], again_from="distance: below 7 NM")
    text = replace(text, findings=(text.findings[0], from_here))
    async with shown(text=text) as (app, pilot):
        await pilot.press("left", "right", "right", "f4")
        assert app.debrief.finding is from_here
        assert [one.moment for one in app.asked if isinstance(one, FlyAgainRequested)] == [
            "distance: below 7 NM"
        ]


async def test_f8_asks_once_and_shows_what_would_have_been() -> None:
    asked: list[str] = []

    def ask(item: str) -> Sequence[str]:
        asked.append(item)
        return ("gate stable met instead of not met",)

    async with shown(ask) as (app, pilot):
        await pilot.press("right", "f8", "f8")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert asked == ["landing flap"]
        assert "with this put right: gate stable met instead of not met" in screen_text(app)


async def test_what_cannot_be_flown_again_says_why() -> None:
    def ask(item: str) -> Sequence[str]:
        raise UserError(f'"{item}" was not missed')

    async with shown(ask) as (app, pilot):
        await pilot.press("f8")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert '"gear down" was not missed' in screen_text(app)


async def test_keys_work_while_the_attempt_is_flown_again() -> None:
    go_on = asyncio.Event()
    loop = asyncio.get_running_loop()

    def ask(item: str) -> Sequence[str]:
        asyncio.run_coroutine_threadsafe(go_on.wait(), loop).result()
        return ("done",)

    async with shown(ask) as (app, pilot):
        await pilot.press("f8")
        assert "flying it again" in screen_text(app)
        await pilot.press("f5")
        assert isinstance(app.asked[-1], RepeatRequested)
        go_on.set()
        await app.workers.wait_for_complete()


async def test_without_a_finding_its_keys_do_nothing_and_are_not_offered() -> None:
    text = replace(debrief_text(sample()), findings=())
    async with shown(text=text) as (app, pilot):
        await pilot.press("left", "right", "f4", "f8", "f9")
        assert app.asked == []
        assert "F4" not in screen_text(app)


async def test_a_click_on_a_finding_opens_it_up() -> None:
    async with shown(size=(100, 40)) as (app, pilot):
        lines = screen_text(app).splitlines()
        row = next(at for at, line in enumerate(lines) if "4. approach mode: early" in line)
        await pilot.click(offset=(10, row))
        assert app.debrief.finding is not None
        assert app.debrief.finding.item == "approach mode"


async def test_no_letter_does_anything_in_a_debrief() -> None:
    async with shown() as (app, pilot):
        before = screen_text(app)
        for letter in "abcdefghijklmnopqrstuvwxyz0123456789":
            await pilot.press(letter)
        assert app.asked == []
        assert screen_text(app) == before


async def test_f9_says_what_would_differ_then_writes_it_then_takes_it_back() -> None:
    wishes: list[str] = []

    def differ(item: str, wish: str) -> tuple[bool, str]:
        wishes.append(wish)
        return wish == "write", f"{item} may be late"

    async with shown(differ=differ, size=(140, 40)) as (app, pilot):
        await pilot.press("f9")
        assert "gear down may be late: F9 once more writes it" in screen_text(app)
        await pilot.press("f9")
        assert "written, from the next flight on; F9 takes it back" in screen_text(app)
        await pilot.press("f9")
        assert "taken back; F9 writes it again" in screen_text(app)
        assert wishes == ["", "write", "take back"]


async def test_what_no_procedure_makes_right_says_so_on_f9() -> None:
    def differ(item: str, wish: str) -> tuple[bool, str]:
        raise UserError("no procedure moves that")

    async with shown(differ=differ) as (app, pilot):
        await pilot.press("f9", "f9")
        assert "our procedure differs: no procedure moves that" in screen_text(app)


async def test_what_takes_longer_is_added_where_the_reader_is() -> None:
    whole = debrief_text(sample())
    app = Bench(replace(whole, pictures=()), None, None, lambda: whole)
    async with app.run_test(size=(100, 80)) as pilot:
        app.clock.advance(QUIET_S)
        await pilot.press("right")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert "VERTICAL PROFILE" in screen_text(app)
        assert app.debrief.finding is not None
        assert app.debrief.finding.item == "landing flap"
