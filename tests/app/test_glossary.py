"""The glossary and the help of the panes: every word on the flight screen has its definition."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.app.help import driver, straight_in
from tests.app.test_app import bench, fly
from tests.project.sources import ROOT
from trainer.app.glossary import meaning_of, terms
from trainer.app.panes import PANES, pane
from trainer.app.scribe import Scribe
from trainer.app.view import Deviation, view_of
from trainer.app.widgets import faces, instruments
from trainer.app.widgets.explained import pane_lines, pane_title
from trainer.app.widgets.lines import plain
from trainer.guidance import modes
from trainer.text import width as cells

PAGE = ROOT / "docs" / "glossary.md"


def test_the_page_is_alphabetical_and_every_definition_is_one_short_sentence() -> None:
    names = list(terms())
    assert names == sorted(names)
    assert len(names) == len(re.findall(r"^- ", PAGE.read_text(encoding="utf-8"), re.M))
    for name, meaning in terms().items():
        assert meaning.endswith("."), name
        assert len(meaning) <= 130, name
        assert meaning[0] == meaning[0].lower() or meaning.startswith("Morse"), name


def test_every_word_of_the_annunciator_is_defined_and_explained_with_it() -> None:
    words = {
        *modes.LATERAL, *modes.VERTICAL, *modes.THRUST, *modes.ENGAGEMENT,
        *modes.CAPABILITY, *modes.LATERAL_ARMED, *modes.VERTICAL_ARMED,
    } - {"", "OFF"}  # fmt: skip
    strip = pane("modes")
    assert strip is not None
    assert words <= set(terms())
    assert words <= set(strip.terms)


@pytest.mark.parametrize(("id", "face"), [
    ("energy", instruments.energy), ("raw", instruments.raw_data),
    ("position", instruments.position), ("modes", faces.annunciator),
])  # fmt: skip
def test_every_label_of_a_block_is_defined_and_explained_with_it(id: str, face) -> None:  # type: ignore[no-untyped-def]
    row = driver("check").row
    seen = view_of(row, Scribe(straight_in(), row))
    views = [seen, replace(seen, localizer=Deviation("VOR", 0.0, ""), final_speed_kt=137.0),
             replace(seen, torque_set_percent=28)]  # fmt: skip
    words: set[str] = set()
    for view in views:
        for line in face(view, 100):
            words |= {text.strip() for text, meaning in line if meaning == "label"}
    labels = {word for word in words if re.fullmatch(r"[A-Z][A-Z ]+", word)}
    assert len(labels) >= 5
    explained = pane(id)
    assert explained is not None
    assert labels <= set(explained.terms) | {"PATH ft"}


def test_every_term_of_every_pane_is_defined_and_every_pane_is_on_the_screen() -> None:
    for one in PANES:
        assert [term for term in one.terms if not meaning_of(term)] == [], one.title
    assert meaning_of("glide") == meaning_of("GLIDE")
    assert meaning_of("no such word") == ""


@pytest.mark.parametrize("width", [80, 100, 140])
def test_an_explanation_keeps_inside_its_panel(width: int) -> None:
    for place, one in enumerate(PANES, 1):
        for line in (pane_title(one, place, len(PANES), width), *pane_lines(one, width)):
            assert cells(plain(line)) <= width


async def test_the_help_explains_one_pane_after_the_other_and_hides_again() -> None:
    async with bench(fly("check"), size=(80, 24)) as at:
        assert {one.id for one in PANES} - {"hint"} <= {
            panel.id for panel in at.flight.walk_children()
        }
        await at.press("tab")
        assert "TOP LINE" not in at.text()
        await at.press("?", "tab")
        assert "TOP LINE   1 of 10" in at.text()
        await at.press("tab")
        assert "ANNUNCIATOR   2 of 10" in at.text()
        before = at.text()
        await at.press("pagedown", "down")
        assert at.text() != before
        await at.press("shift+tab")
        assert "TOP LINE" in at.text()
        await at.press("?")
        assert "TOP LINE" not in at.text()
        await at.press("?")
        assert "KEYS" in at.text()


async def test_a_key_of_the_flight_still_flies_while_a_pane_is_explained() -> None:
    async with bench(fly("check")) as at:
        await at.press("?", "tab", *"160", "s")
        assert at.flight.driver.row.selectors.speed_kt == 160.0


async def test_a_click_on_a_pane_explains_it_while_the_help_is_open() -> None:
    async with bench(fly("coached")) as at:
        await at.pilot.click("#energy", offset=(2, 2))
        await at.settle()
        assert "SPEED AND CONFIGURATION" not in at.text()
        await at.press("?")
        await at.pilot.click("#energy", offset=(2, 2))
        await at.settle()
        await at.laid_out()
        assert "SPEED AND CONFIGURATION   3 of 10" in at.text()
        await at.pilot.click("#about", offset=(2, 0))
        await at.settle()
        assert "RAW DATA   4 of 10" in at.text()
