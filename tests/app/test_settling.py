"""Settings changed in the app: what is written, what is kept, and what is refused."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.app.test_app import NORMAL, Bench, bench
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.settings import ROWS, SettingsScreen
from trainer.app.settings import LEVELS, THEMES, Settings, load, parse
from trainer.app.settling import Change, changed, settle
from trainer.errors import FileProblems, UserError

GOLDEN = Path(__file__).parent / "golden"
MINE = """\
# how I like it
theme = "dark"  # for the night

# the gear is where my left hand is
[keys]
gear = "Y"   # yes
"approach mode" = "A"
"""


def test_a_change_leaves_every_other_line_as_it_stands() -> None:
    light = changed(MINE, Change("theme", "light"))
    assert light == MINE.replace('"dark"', '"light"')
    assert changed(light, Change("theme", "dark")) == MINE
    moved = changed(MINE, Change("gear", "U", is_key=True))
    assert moved == MINE.replace('"Y"', '"U"')
    belled = changed(MINE, Change("bell", value=True))
    assert belled == f"bell = true\n{MINE}"
    assert parse(belled, "config.toml").bell
    added = changed(MINE, Change("pause", "f9", is_key=True))
    assert added.startswith(MINE)
    assert parse(added, "config.toml").keymap.key_of("pause") == "f9"


def test_what_is_as_usual_is_taken_out_of_the_file() -> None:
    assert 'gear = "Y"' not in changed(MINE, Change("gear", None, is_key=True))
    assert "theme" not in changed(MINE, Change("theme", None))
    assert changed("", Change("gear", None, is_key=True)) == ""
    assert changed("x = 1\n", Change("theme", None)) == "x = 1\n"
    inline = changed("keys = {gear = 'Y'}\n", Change("pause", "f9", is_key=True))
    assert parse(inline, "config.toml").keymap.key_of("gear") == "Y"


@given(
    st.lists(
        st.sampled_from(
            [
                Change("theme", "light"), Change("theme", None), Change("bell", value=True),
                Change("level", "guided"), Change("gear", "U", is_key=True),
                Change("gear", None, is_key=True), Change("pause", "f9", is_key=True),
            ]
        ),
        max_size=8,
    )
)  # fmt: skip
def test_after_any_changes_the_file_says_what_was_changed_last(changes: list[Change]) -> None:
    text = MINE
    for change in changes:
        text = changed(text, change)
    settings = parse(text, "config.toml")
    last = {change.name: change.value for change in changes}
    assert settings.theme == (last.get("theme", "dark") or "dark")
    assert settings.keymap.key_of("gear") == (last.get("gear", "Y") or "g")
    assert settings.bell == bool(last.get("bell", False))
    assert "# how I like it" in text
    assert "# the gear is where my left hand is" in text


def test_a_file_is_written_whole_and_only_if_it_is_right(tmp_path: Path) -> None:
    file = tmp_path / "folder" / "config.toml"
    assert settle(file, Change("theme", "light")).theme == "light"
    assert load(file) == Settings(theme="light")
    before = file.read_text(encoding="utf-8")
    with pytest.raises(FileProblems, match="gear and flaps are both on f"):
        settle(file, Change("gear", "f", is_key=True))
    assert file.read_text(encoding="utf-8") == before
    assert [one.name for one in file.parent.iterdir()] == ["config.toml"]
    linked = tmp_path / "linked.toml"
    linked.symlink_to(file)
    settle(linked, Change("bell", value=True))
    assert linked.is_symlink()
    assert load(file).bell


def test_a_file_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(UserError, match="cannot be"):
        settle(tmp_path / "file" / "config.toml", Change("theme", "light"))
    (tmp_path / "config.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(UserError, match="cannot be read, so nothing was changed"):
        settle(tmp_path / "config.toml", Change("theme", "light"))


async def down_to(at: Bench, name: str) -> None:
    await at.press("home")
    await at.press(*["down"] * [row.name for row in ROWS].index(name))


async def test_looks_change_at_once_and_the_level_at_home() -> None:
    async with bench() as at:
        await at.press("o")
        assert at.shows(SettingsScreen)
        seen = [at.app.theme]
        for _ in THEMES:
            await at.press("right")
            seen.append(at.app.theme)
        assert seen == [*THEMES, THEMES[0]]
        assert at.outside.settings_text == ""  # as usual again
        await at.press("down", "right")
        assert at.outside.settings_text == "ascii = true\n"
        assert at.text().isascii()
        await at.press("left")
        await down_to(at, "level")
        await at.press("right")
        assert parse(at.outside.settings_text, "").level == LEVELS[2]
        await at.press("f10")
        assert at.shows(HomeScreen)
        await at.press("enter")
        assert at.flight.driver.level == "check"


async def test_a_key_is_bound_for_the_next_flight_and_one_that_is_taken_is_refused() -> None:
    async with bench() as at:
        await at.press("o")
        await down_to(at, "gear")
        await at.press("enter", "f")
        assert "Not changed: gear and flaps are both on f" in at.text()
        await at.press("enter", "7")
        assert "is no key for gear" in at.text()
        await at.press("enter", "enter")  # left as it is
        assert at.outside.settings_text == ""
        await at.press("enter", "Y")
        assert "usually g" in at.text()
        await down_to(at, "pause")
        await at.press("enter", "f9", "f10", "enter")
        assert at.shows(FlightScreen)
        await at.press("Y")
        assert at.flight.driver.row.gear_lever == "down"
        await at.press("f9")
        assert at.flight.driver.is_paused
    assert at.outside.settings_text == '[keys]\ngear = "Y"\npause = "f9"\n'


async def test_backspace_makes_a_setting_as_usual_and_a_click_changes_one() -> None:
    async with bench() as at:
        await at.press("o")
        await down_to(at, "gear")
        await at.press("enter", "Y", "backspace")
        assert at.outside.settings_text.strip() in ("", "[keys]")
        await at.press("home")
        for _ in range(2):
            await at.pilot.click("#list", offset=(6, 1))
            await at.settle()
        assert at.outside.settings_text.startswith("theme = ")


@pytest.mark.parametrize("size", [(80, 24), NORMAL, (140, 40)])
async def test_the_settings_as_text(size: tuple[int, int]) -> None:
    async with bench(size=size) as at:
        await at.press("o", "down", "down", "down", "down", "enter", "p")
        lines = at.text().splitlines(keepends=True)
    keys = lines.index(" KEYS\n") + 3  # which controls there are is no business of this screen
    shown = "".join([*lines[:keys], *lines[size[1] - 4 :]])
    golden = GOLDEN / f"settings-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(shown, encoding="utf-8")
    assert shown == golden.read_text(encoding="utf-8")
