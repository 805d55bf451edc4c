"""The home screen: filter, help with the safety notice, and the report of a bad file."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.app.test_app import bench
from trainer.app.listing import Listed
from trainer.app.orientation import about_lines
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import KEYS, KEYS_RESUME, HomeScreen
from trainer.app.screens.home_lines import Rows
from trainer.app.screens.text import TextScreen
from trainer.app.settings import Settings
from trainer.app.widgets.lines import plain
from trainer.errors import FileProblems, Problem
from trainer.text import NOTICE
from trainer.text import width as cells

TWO = [
    Listed("straight-in", "Straight in", "The whole sequence.", 1, "Twin jet", "ILS 14 QXMA"),
    Listed("other", "Another", "A lesson about wind.", 2, "Twin jet", "ILS 32 QXMA"),
]


async def test_a_filter_keeps_what_has_all_its_words_and_backspace_gives_it_up() -> None:
    async with bench(listed=TWO) as at:
        await at.press("/", *"wind", "space", "3")
        text = at.text()
        assert "Another" in text
        assert "Straight in" not in text
        assert "1 of 2" in text
        await at.press("enter")
        assert at.shows(HomeScreen)
        assert "Straight in" not in at.text()
        await at.press(*["backspace"] * 6)
        assert "Straight in" in at.text()
        await at.press("backspace")
        assert "FILTER" not in at.text()
        for kept in ((), ("enter",)):
            await at.press("/", *"wind", *kept)
            assert "Straight in" not in at.text()
            await at.press("escape")
            assert "FILTER" not in at.text()
            assert "Straight in" in at.text()


async def test_letters_of_a_filter_are_no_keys_and_what_is_found_can_be_flown() -> None:
    async with bench() as at:
        await at.press("/", *"straight", "h", "backspace", "enter", "enter")
        assert at.shows(FlightScreen)
        assert at.flight.driver.session.exercise.name == "straight-in"


async def test_a_filter_that_nothing_has_says_so_and_flies_nothing() -> None:
    async with bench(listed=TWO) as at:
        await at.press("/", *"[/foo]", "enter", "enter", "b", "g", "down")
        assert at.shows(HomeScreen)
        assert "No exercise has these words." in at.text()
        assert "[/foo]" in at.text()


async def test_the_help_of_the_home_screen_begins_with_the_safety_notice() -> None:
    async with bench(size=(80, 24)) as at:
        await at.press("?")
        assert at.shows(TextScreen)
        text = " ".join(at.text().split())
        assert "not for navigation or real flight" in text
        assert text.index("not for navigation") < text.index("KEYS OF THE HOME SCREEN")
        await at.press("end")
        assert "VS" in at.text()
        await at.press("f10")
        assert at.shows(HomeScreen)


def test_the_help_names_every_key_of_the_line_below_the_list_and_the_settings() -> None:
    lines = about_lines(Settings(theme="light", bell=True), Path("somewhere/config.toml"))
    text = "\n".join(lines)
    assert lines[0].startswith(NOTICE)
    for key in ("Enter", "1 2 3", "b ", "g ", "h ", "/ ", "F10"):
        assert f"  {key}" in text
    assert "light" in text
    assert "somewhere/config.toml" in text


async def test_the_narrowest_list_cuts_no_word_before_a_result() -> None:
    last = "passed 100 guided"
    one = Listed("straight-in", "Straight in", "", 1, "twin-jet", "ILS 14 QXMA", last)
    long = Listed("modes", "An autopilot of two modes", "", 2, "piston-single", "ILS 09L QXSB")
    for due in (None, 12):
        rows = Rows([replace(one, due_days=due), long], 0, 80)
        row = plain(rows.lines[1])
        assert cells(row) == 80
        assert "…" not in row
        assert " twin-jet " in row
        assert row.rstrip().endswith("in 12 d" if due else last)


def test_the_lines_of_keys_fit_the_narrowest_screen() -> None:
    assert cells(KEYS) <= 78
    assert cells(KEYS_RESUME) <= 78
    assert "r resume" in KEYS_RESUME


async def test_the_report_of_a_bad_file_has_a_screen_of_its_own() -> None:
    async with bench() as at:
        problems = [Problem("mine.yaml", 3, 5, "unknown key [/x]"), Problem("mine.yaml", 9, 1, "z")]

        def broken(name: str, seed: int) -> None:
            raise FileProblems(problems)

        at.outside.exercise = broken  # type: ignore[method-assign,assignment]
        for key in ("enter", "b", "g"):
            await at.press(key)
            await at.settle()
            await at.laid_out()
            assert at.shows(TextScreen), key
            text = at.text()
            assert "NOTHING WAS LOADED" in text
            assert "mine.yaml:3:5: unknown key [/x]" in text
            assert "mine.yaml:9:1: z" in text
            await at.press("enter")
            assert at.shows(HomeScreen)
