"""The pictures in the README and the docs: `python -m tests.project.pictures` makes them all.

Each is a screen of the program, brought there by keys; nothing in it is drawn by hand. What a
person would have on record (results, due days) is given, so that a picture changes only when the
program does.
"""

from __future__ import annotations

import asyncio
import html
import re
from collections.abc import Awaitable, Callable
from dataclasses import replace
from pathlib import Path

from tests.app.help import Outside
from tests.app.test_app import Bench, bench
from trainer.app.launch import Start
from trainer.app.listing import Listed
from trainer.app.tour import TOUR
from trainer.crew.perfect import PerfectCrew
from trainer.scenario.exercise import Edit

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "pictures"
LAST = {
    "straight-in": "passed 94 check",
    "base-turn-speed": "passed 88 coached",
    "early-temptation": "repeat 61 coached",
}
POINTS = [58.0, 71.0, 69.0, 84.0, 90.0]
DUE = {"straight-in": 12, "base-turn-speed": 0, "early-temptation": -1}
LISTED = (
    *LAST, "high-field", "look-alike", "stolen-level-off", "what-is-armed", "localizer-only",
    "runway-change", "downgrade",
)  # fmt: skip
"""Exercises on the picture of the home screen; a new one changes no picture."""

_TEXT = re.compile(r'<text class="[^"]*" x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>', re.S)
_FONTS = re.compile(r"@font-face \{.*?\}\s*", re.S)


def listed() -> list[Listed]:
    """The exercises of the home screen, each with its last result."""
    known = [one for one in Outside().listed() if one.name in LISTED]
    return [replace(one, last=LAST.get(one.name, "")) for one in known]


async def find(at: Bench) -> None:
    """Choose the first exercise at home."""
    await at.press("/", *"straight-in", "enter")


async def home(at: Bench) -> None:
    """What is due, and the profile of the chosen exercise."""
    at.outside.due_days = DUE
    at.app.screen._mark_due()  # type: ignore[attr-defined]
    await at.press("d")
    await worked_out(at)


async def worked_out(at: Bench) -> None:
    """Wait for what is worked out beside the screen."""
    running = [one for one in at.app.workers if not one.is_cancelled]
    await at.app.workers.wait_for_complete(running)
    await at.settle()
    await at.laid_out()


async def opened(at: Bench, key: str) -> None:
    """Press a key at home and wait until its screen has come."""
    before = at.app.screen
    await find(at)
    await at.press(key)
    while at.app.screen is before:
        await at.settle()
    await at.laid_out()


async def plan(at: Bench) -> None:
    """The first page of the brief."""
    await opened(at, "b")


async def profile(at: Bench) -> None:
    """The second page of the brief."""
    await opened(at, "b")
    await at.press("2")


async def own_segment(at: Bench) -> None:
    """A cluster of steps."""
    at.outside.points = POINTS
    await opened(at, "g")
    await at.press("o", *["down"] * 17, "f", *["down"] * 4, "u")


async def flight(at: Bench) -> None:
    """Guided, up to the step that time waits for: the glide path has just been captured."""
    await at.pass_time(3.0, stride_s=0.1)


async def check(at: Bench) -> None:
    """A check on the way to the gate, flown by a good crew."""
    await crewed(at, 1500)


async def debrief(at: Bench) -> None:
    """The end of an approach on which one step was left out."""
    at.outside.points = POINTS
    await crewed(at, 6000, Edit("omit", "approaching minimums"))
    await at.pass_time(1.0)
    await worked_out(at)


async def replayed(at: Bench) -> None:
    """The same flight again, at the step that was left out."""
    await debrief(at)
    at.clock.advance(3.0)
    await at.press("f7", *["down"] * 24)


async def crewed(at: Bench, steps: int, *edits: Edit) -> None:
    """Let a good crew with `edits` fly on for so many steps, or to the end."""
    session = at.flight.driver.session
    crew = PerfectCrew(session.tracker, edits)
    while steps and not session.is_over:
        session.step(crew.acts(session.row))
        steps -= 1
    at.flight.paint()
    await at.settle()


async def set_up(at: Bench) -> None:
    """On the way through set-up and briefing; one number is wrong."""
    await worked_out(at)
    for entry in ("110.35t", "i", "140c", "4000⏎", "1012⏎", "600⏎", "132⏎", "142⏎"):
        await at.press(*("enter" if one == "⏎" else one for one in entry))
    at.clock.advance(30.0)
    at.app.screen.blink()  # type: ignore[attr-defined]
    await at.press("up", "down")


async def tour(at: Bench) -> None:
    """The third of what is explained before time runs."""
    await at.press("enter", "enter")


GLIDE = "mode: {vertical: GLIDE}"
PICTURES: dict[str, tuple[Callable[[Bench], Awaitable[None]], Start | None]] = {
    "home": (home, None),
    "brief-plan": (plan, None),
    "brief-profile": (profile, None),
    "own-segment": (own_segment, None),
    "set-up": (set_up, Start("straight-in", "coached", 0, prepares=True)),
    "tour": (tour, TOUR),
    "flight-guided": (flight, Start("straight-in", "guided", 0, GLIDE)),
    "flight-check": (check, Start("straight-in", "check", 7, GLIDE)),
    "debrief": (debrief, Start("straight-in", "coached", 0, GLIDE)),
    "replay": (replayed, Start("straight-in", "coached", 0, GLIDE)),
}
"""Every picture: how to get there, and the flight it begins with (None = at home)."""


async def made(name: str) -> str:
    """A picture as SVG, without the fonts that it would fetch from elsewhere."""
    steps, start = PICTURES[name]
    async with bench(start, listed=listed()) as at:
        await steps(at)
        svg = at.app.export_screenshot(title="Approach Drill")
    return _FONTS.sub("", svg)


def words(svg: str) -> list[str]:
    """The text of a picture, piece by piece: it survives another version of the screen library."""
    return [html.unescape(text).replace("\xa0", " ") for _, _, text in _TEXT.findall(svg)]


def path_of(name: str) -> Path:
    """Where a picture is kept."""
    return FOLDER / f"{name}.svg"


def main() -> None:
    """Write the pictures."""
    FOLDER.mkdir(exist_ok=True)
    for name in PICTURES:
        path_of(name).write_text(asyncio.run(made(name)), encoding="utf-8")
        print(f"written: {path_of(name)}")


if __name__ == "__main__":
    main()
