"""The home screen: what is due, the list by difficulty, the drawing of the chosen exercise."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.app.help import screen_text, straight_in
from tests.app.test_app import Bench, bench
from trainer.app.listing import Listed
from trainer.app.local import LocalServices
from trainer.app.past import history_lines
from trainer.app.profile import sample_of
from trainer.app.screens.home_lines import about_lines, due_words
from trainer.app.widgets.lines import plain
from trainer.app.widgets.sample import sample_lines
from trainer.records.journal import Segment
from trainer.records.store import Records
from trainer.text import width as cells


async def drawn(at: Bench) -> None:
    """Wait until the profile of the chosen exercise has been worked out."""
    await at.settle()
    running = [one for one in at.app.workers if one.name == "_work_out" and not one.is_cancelled]
    await at.app.workers.wait_for_complete(running)
    await at.settle()


GOLDEN = Path(__file__).parent / "golden"
LISTED = [
    Listed("straight-in", "Straight in", "The whole sequence in its order, each step at its own "
           "moment.", 1, "Twin jet", "ILS 14 QXMA", "passed 92 coached"),
    Listed("wind", "Another wind", "A lesson about wind.", 2, "Twin jet", "ILS 32 QXMA"),
    Listed("needle", "A needle", "A lesson about needles.", 2, "Twin jet", "ILS 09L QXSB",
           "repeat 61 check"),
    Listed("gone", "Unreadable", "", 5, "", "", problem="gone.yaml:3:1: unknown key"),
]  # fmt: skip


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (140, 40)])
async def test_the_home_screen_as_text(size: tuple[int, int]) -> None:
    async with bench(size=size, listed=LISTED) as at:
        at.outside.due_days = {"straight-in": 12, "needle": -2}
        at.app.screen._mark_due()  # type: ignore[attr-defined]
        await drawn(at)
        text = screen_text(at.app)
    golden = GOLDEN / f"home-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")


async def test_what_is_due_is_counted_found_by_d_and_by_the_filter() -> None:
    async with bench(listed=LISTED) as at:
        assert "due" not in at.text()
        await at.press("d")
        assert "nothing is due today" in at.text()
        at.outside.due_days = {"straight-in": 0, "needle": -2, "wind": 3}
        at.app.screen._mark_due()  # type: ignore[attr-defined]
        assert "2 due: d goes to the next" in at.text()
        await at.press("d")
        assert "▸ A needle" in at.text()
        assert "due for 2 days" in at.text()
        await at.press("d")
        assert "▸ Straight in" in at.text()
        await at.press("/", *"due", "enter")
        assert "2 of 4" in at.text()
        assert "Another wind" not in at.text()


async def test_a_heading_is_no_exercise_and_the_first_one_keeps_its_heading_in_sight() -> None:
    async with bench(listed=LISTED) as at:
        await at.press("down")
        await at.pilot.click("#list", offset=(5, 0))
        await at.settle()
        assert "▸ Another wind" in at.text()
        await at.pilot.click("#list", offset=(5, 1))
        await at.settle()
        assert "▸ Straight in" in at.text()
    many = [Listed(f"x{place}", f"No {place}", "", 1, "", "") for place in range(60)]
    async with bench(listed=many) as at:
        await at.press("end", "home")
        assert "DIFFICULTY 1" in at.text()


async def test_the_drawing_comes_beside_the_screen_and_not_for_a_file_that_cannot_be_read() -> None:
    async with bench(listed=LISTED) as at:
        await drawn(at)
        assert "▲OMBRY" in at.text()
        await at.press("end")
        await drawn(at)
        assert "unknown key" in at.text()
        assert "▲OMBRY" not in at.text()
        await at.press("home")  # drawn before, so at once
        assert "▲OMBRY" in at.text()


@pytest.mark.parametrize(("width", "height"), [(24, 4), (40, 4), (52, 7), (76, 10)])
def test_the_drawing_fits_its_cells_and_names_where_one_begins(width: int, height: int) -> None:
    lines = [plain(line) for line in sample_lines(sample_of(straight_in()), width, height)]
    assert len(lines) == height
    assert all(cells(line) == width for line in lines)
    assert "◆ 3000" in "".join(lines)
    assert "225" in "".join(lines)
    assert sample_lines(sample_of(straight_in()), width, 3) == []


@pytest.mark.parametrize(
    ("days", "listed", "told"),
    [
        (None, "", "last: passed 92 check"),
        (0, "● due", "due today"),
        (1, "in 1 d", "due in 1 day"),
        (12, "in 12 d", "due in 12 days"),
        (-1, "● due", "due for 1 day"),
    ],
)
def test_the_words_for_a_day(days: int | None, listed: str, told: str) -> None:
    assert due_words(days) == listed
    one = Listed("x", "X", "", 1, "", "", "passed 92 check", "", days)
    assert plain(about_lines(one, 60)[-1]).endswith(told)


def records_of(*attempts: tuple[str, str, float]) -> Records:
    """Records in memory with one attempt at each (level, start, points)."""
    exercise, records = straight_in(), Records(None)
    for level, started, points in attempts:
        segment = ("coached", "", "x") if level == "segment" else ("", "", "")
        attempt = records.begin(
            exercise.canonical, exercise.digest, exercise.name, level, "solo", 0, 1, started,
            Segment(*segment),
        )  # fmt: skip
        attempt.finish({"outcome": "passed", "points": points}, b"", "")
    return records


def test_guided_flights_and_segments_are_no_repetitions() -> None:
    today = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    told = records_of(("guided", today, 99.0), ("segment", today, 99.0))
    assert LocalServices(told).due() == {}
    flown = records_of(("coached", "2026-01-01T00:00:00Z", 99.0), ("check", today, 70.0))
    assert LocalServices(flown).due()["straight-in"] >= 1
    assert len(flown.repetitions(("coached", "check"), most=1)) == 1
    assert history_lines(told, {})[-2].endswith("  flown 99.0")
    for records, last in ((told, "segment 99"), (flown, "passed 70 check")):
        listed = LocalServices(records).listed()
        assert [one.last for one in listed if one.name == "straight-in"] == [last]


def test_the_history_begins_with_trends_and_what_is_due() -> None:
    records = records_of(
        ("coached", "2026-01-01T08:00:00Z", 60.0), ("check", "2026-01-02T08:00:00Z", 90.0)
    )
    head, trend, empty, again, _, _, newest, *_ = history_lines(records, {"straight-in": -3})
    assert "DUE" in head
    assert trend.split() == ["straight-in", "●", "due", "▅█", "60", "90"]
    assert empty == ""
    assert cells(head) <= 78
    number = newest.split()[0]
    assert (
        again.strip()
        == f"approach-drill debrief {number} prints the debrief of that attempt again."
    )
    assert newest.split()[2] == "check"
