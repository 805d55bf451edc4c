"""The drawn brief: to scale, every fix named, every ladder at its miles; as text at three sizes."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

import pytest

from tests.app.help import Outside, screen_text, straight_in
from trainer.app.app import TrainerApp
from trainer.app.profile import Place, Profile, profile_of, volume_of
from trainer.app.screens.brief import PAGES, BriefScreen
from trainer.app.widgets.chart import plan_lines, profile_page
from trainer.app.widgets.lines import plain
from trainer.briefing.ladders import Ladders
from trainer.briefing.plan import Plan, frame_of, plan_of
from trainer.briefing.sheet import Sheet, flown_sheet
from trainer.flight.surroundings import surroundings_of
from trainer.text import width as cells
from trainer.units import NM

GOLDEN = Path(__file__).parent / "golden"
SIZES = [(80, 24), (100, 30), (140, 40)]


@cache
def sheet() -> Sheet:
    return flown_sheet(straight_in())


def profile_text(width: int, height: int, ladders: Ladders | None = None) -> list[str]:
    exercise = straight_in()
    volume = volume_of(surroundings_of(exercise))
    made = sheet().ladders if ladders is None else ladders
    return [plain(one) for one in profile_page(profile_of(exercise), volume, made, width, height)]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("page", PAGES)
async def test_the_brief_as_text(size: tuple[int, int], page: str) -> None:
    app = TrainerApp(Outside())
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        app.push_screen(BriefScreen(sheet()))
        await pilot.pause()
        await pilot.press(str(PAGES.index(page) + 1))
        await pilot.pause()
        text = screen_text(app)
    golden = GOLDEN / f"brief-{page.lower()}-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", SIZES)
def test_both_drawings_fill_their_page_and_nothing_sticks_out(size: tuple[int, int]) -> None:
    width, height = size[0], size[1] - 3
    plan = [plain(one) for one in plan_lines(plan_of(straight_in()), width, height)]
    profile = profile_text(width, height)
    assert len(plan) == height
    assert len(profile) == height
    assert {cells(line) for line in (*plan, *profile)} == {width}


@pytest.mark.parametrize("size", SIZES)
def test_every_fix_of_the_way_and_of_the_missed_approach_is_named(size: tuple[int, int]) -> None:
    plan = plan_of(straight_in())
    text = "\n".join(plain(one) for one in plan_lines(plan, size[0], size[1] - 3))
    assert all(name in text for name in plan.fixes)
    assert "MRW VOR" in text


def test_a_square_of_fixes_is_drawn_as_a_square() -> None:
    corners = {"A": (-5 * NM, 5 * NM), "B": (5 * NM, 5 * NM), "C": (-5 * NM, -5 * NM)}
    plan = Plan(corners, tuple(corners.values()), ((0.0, 0.0),), {})
    lines = [plain(one) for one in plan_lines(plan, 100, 30)]
    at = {}
    for y, line in enumerate(lines[:-1]):
        for x, sign in enumerate(line):
            if sign in "ABC":
                at[sign] = (x, y)
    across = at["B"][0] - at["A"][0]
    down = at["C"][1] - at["A"][1]
    assert across == pytest.approx(2 * down, abs=2)  # a cell is twice as high as it is wide
    assert frame_of(corners.values(), 10.0, 10.0).per_m == pytest.approx(1.0 / NM)


def test_a_far_station_does_not_shrink_the_plan() -> None:
    plan = plan_of(straight_in())
    far = Plan(plan.fixes, plan.route, plan.missed, {"FAR": (90 * NM, 0.0)})
    none = Plan(plan.fixes, plan.route, plan.missed, {})
    assert plan_lines(far, 100, 27) == plan_lines(none, 100, 27)


def test_constraints_read_at_or_above_and_a_speed_limit_stands_beside_them() -> None:
    made = profile_of(straight_in())
    places = (*made.places, Place("NEARR", 4.0, 2000.0, "at", 180.0))
    profile = Profile(made.elevation_ft, made.path, places, made.minimums_ft)
    text = "\n".join(plain(one) for one in profile_page(profile, {}, sheet().ladders, 100, 27))
    assert "▼≥3000" in text
    assert "▼=3000" in text
    assert "▼=2000 ≤180kt" in text
    assert "minimums 225" in text


def test_each_ladder_stands_in_its_own_lane_and_its_steps_at_their_miles() -> None:
    lines = profile_text(140, 37)
    heads = [place for place, line in enumerate(lines) if "────" in line]
    assert [lines[at].split()[0] for at in heads] == ["A", "LAST", "LIMIT"]
    axis = lines[heads[0] - 1]
    good = "\n".join(lines[heads[0] : heads[1]])
    captured = next(line for line in good.splitlines() if "path captured" in line)
    # KEVUX lies at 9.0 NM and the path is captured at 9.1 NM
    assert captured.index("╵path") == pytest.approx(axis.index("▲KEVUX"), abs=1)


def test_a_low_page_leaves_the_limit_to_the_sheet_and_an_exercise_without_gate_has_no_lanes() -> (
    None
):
    assert not any("LIMIT" in line for line in profile_text(80, 21))
    lines = profile_text(80, 21, Ladders((), (), ()))
    assert len(lines) == 21
    assert not any("────" in line for line in lines)
