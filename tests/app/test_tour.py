"""The guided tour: offered once, flown by its own words, never kept."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.app.help import HandClock, Outside
from tests.app.test_app import NORMAL, Bench, bench, keys_of
from trainer.app.app import TrainerApp
from trainer.app.keymap import DEFAULT
from trainer.app.mark import Mark
from trainer.app.screens.debrief import DebriefScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.tour import TourScreen
from trainer.app.tour import _KINDS, CARDS, TOUR, card_text, step_text
from trainer.app.widgets.lines import wrapped

GOLDEN = Path(__file__).parent / "golden"


def tour_of(at: Bench) -> TourScreen:
    return next(one for one in at.app.screen_stack if isinstance(one, TourScreen))


def test_every_text_of_the_tour_fits_into_the_smallest_terminal() -> None:
    texts = [card_text(place, DEFAULT) for place in range(len(CARDS))]
    assert [text for text in texts if len(wrapped(text, 80 - 8)) > 3] == []
    steps = [text.format(fade=8, say="Space", checklist="j") for text in _KINDS.values()]
    steps.append(step_text(None, DEFAULT))
    assert [text for text in steps if len(wrapped(text, 80 - 8)) > 3] == []
    assert len(wrapped(_KINDS["line"], 80 - 8 - 36)) <= 3


def test_a_mark_that_cannot_be_written_is_no_trouble(tmp_path: Path) -> None:
    mark = Mark(tmp_path / "data" / "tour-begun")
    assert not mark.is_set()
    mark.set()
    assert mark.is_set()
    (tmp_path / "file").write_text("", encoding="utf-8")
    hopeless = Mark(tmp_path / "file" / "tour-begun")
    hopeless.set()
    assert not hopeless.is_set()


async def test_the_tour_is_offered_at_the_first_start_and_not_again() -> None:
    outside = Outside()
    outside.is_first_start = True
    for is_offered in (True, False):
        app = TrainerApp(outside, None, HandClock())
        async with app.run_test(size=NORMAL) as pilot:
            at = Bench(app, pilot, HandClock(), outside)
            await at.settle()
            assert ("NEW HERE?" in at.text()) == is_offered
            if is_offered:
                await at.press("down")  # whoever chooses for himself is not asked again
                assert "NEW HERE?" not in at.text()
                await at.press("t", "f10", "y")
                assert at.shows(HomeScreen)
                assert "t begins it again" in at.text()


async def test_the_tour_is_flown_to_its_debrief_with_the_keys_it_names_and_not_kept() -> None:
    async with bench() as at:
        await at.press("t")
        screen = tour_of(at)
        step = screen.driver.row.step
        await at.press("left", "f", "1")  # no key of the flight yet
        at.clock.advance(100.0)
        screen.tick()
        assert screen.driver.row.step == step
        told = []
        for card in CARDS:
            told.append(at.text())
            shown = [pane.id for pane in screen.query(".-shown")]
            assert shown == ([card.pane] if card.pane else [])
            await at.press("enter")
        assert len(set(told)) == len(CARDS)
        kinds = set()
        for _ in range(200):
            if not at.shows(TourScreen):
                break
            hint = screen.driver.hint
            if hint is None:
                await at.pass_time(4.0)
                continue
            assert hint.act is not None
            kinds.add(hint.act.act)
            heading = _KINDS[hint.act.act].partition(":")[0]
            screen.tick()
            await at.pilot.pause()
            assert heading in at.text()
            await at.press(*keys_of(hint.keys))
        assert kinds == {"move", "say", "set", "checklist", "line"}
        assert at.shows(DebriefScreen)
        assert "That was the tour; it is not kept." in at.text()
        assert at.outside.diaries == []
        at.clock.advance(3.0)
        await at.press("f2")
        assert "a tour is not kept" in at.text()


@pytest.mark.parametrize("size", [(80, 24), NORMAL, (140, 40)])
async def test_the_tour_as_text(size: tuple[int, int]) -> None:
    async with bench(TOUR, size=size) as at:
        await at.press("enter", "enter")
        shown = at.text()
    golden = GOLDEN / f"tour-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(shown, encoding="utf-8")
    assert shown == golden.read_text(encoding="utf-8")
