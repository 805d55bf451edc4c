"""The picture of the flight screen in the README: `python -m tests.project.picture` makes it.

A Guided flight handed over where the glide path has just been captured: the change stands on the
annunciator, and the guide asks for the call. Nothing in it is drawn by hand.
"""

from __future__ import annotations

import asyncio
import html
import re
from pathlib import Path

from tests.app.help import HandClock, Outside
from trainer.app.app import TrainerApp
from trainer.app.launch import Start

PICTURE = Path(__file__).resolve().parents[2] / "docs" / "flight-screen.svg"
SIZE = (100, 30)
START = Start("straight-in", "guided", 0, "mode: {vertical: GLIDE}")

_TEXT = re.compile(r'<text class="[^"]*" x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>', re.S)
_FONTS = re.compile(r"@font-face \{.*?\}\s*", re.S)


async def made() -> str:
    """The picture as SVG, without the fonts that it would fetch from elsewhere."""
    clock = HandClock()
    app = TrainerApp(Outside(), START, clock)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        for _ in range(30):  # up to the step that time waits for
            clock.advance(0.1)
            app.screen.tick()  # type: ignore[attr-defined]
        await pilot.pause()
        svg = app.export_screenshot(title="Approach Drill")
    return _FONTS.sub("", svg)


def words(svg: str) -> list[str]:
    """The text of a picture, piece by piece: it survives another version of the screen library."""
    return [html.unescape(text).replace("\xa0", " ") for _, _, text in _TEXT.findall(svg)]


def main() -> None:
    """Write the picture."""
    PICTURE.write_text(asyncio.run(made()), encoding="utf-8")
    print(f"written: {PICTURE}")


if __name__ == "__main__":
    main()
