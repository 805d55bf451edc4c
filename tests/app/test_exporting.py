"""The attempt file written from the debrief: never over another, also of an attempt in memory."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.help import FLARE, HandClock, Outside, screen_text, straight_in
from trainer.app.app import TrainerApp
from trainer.app.exporting import write_attempt
from trainer.app.launch import Start
from trainer.app.local import LocalServices
from trainer.app.screens.debrief import QUIET_S, DebriefScreen
from trainer.app.screens.flight import FlightScreen
from trainer.records.attempt_file import read_attempt_file
from trainer.records.store import Records
from trainer.report.again import judged_again


def test_an_attempt_held_in_memory_can_be_written_and_opened_elsewhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from trainer.crew.fly import fly_crew
    from trainer.scenario.crew_files import CrewFile

    monkeypatch.chdir(tmp_path)
    with Records(None) as records:
        recorder = LocalServices(records).recorder(straight_in(), "check")
        session, judgement = fly_crew(straight_in(), CrewFile("perfect"))
        for act in session.flight.acts:
            recorder.act(act)
        recorder.finish(session, judgement)
        first, second = recorder.export(), recorder.export()
    assert first.endswith("straight-in-1.attempt.json")
    assert second.endswith("straight-in-1-2.attempt.json")
    stored = read_attempt_file(Path(first.removeprefix("written: ")))
    assert judged_again(stored).judgement.points == 100.0


def test_where_the_folder_cannot_be_written_the_home_is_taken_and_else_the_reason_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    monkeypatch.setattr(Path, "home", lambda: home)
    with Records(None) as records:
        services = LocalServices(records)
        services.recorder(straight_in(), "check")
        stored = records.load(1)
    assert "not written" in write_attempt(stored, tmp_path / "missing")
    home.mkdir()
    told = write_attempt(stored, tmp_path / "missing")
    assert told == f"written: {home / 'straight-in-1.attempt.json'}"


async def test_f2_in_the_debrief_writes_the_attempt_and_says_where() -> None:
    clock = HandClock()
    start = Start("straight-in", from_moment=FLARE, until_moment="radio height: below 40 ft")
    app = TrainerApp(Outside(), start, clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for _ in range(60):
            clock.advance(0.5)
            if isinstance(app.screen, FlightScreen):
                app.screen.tick()
            await pilot.pause()
            if isinstance(app.screen, DebriefScreen):
                break
        assert isinstance(app.screen, DebriefScreen)
        assert (
            "F2 file  F5 again, same seed  F6 new seed  F7 replay  Enter home  ↑ ↓"
            in screen_text(app)
        )
        clock.advance(QUIET_S)
        await pilot.press("f2")
        await pilot.pause()
        assert "written: attempt of" in screen_text(app)
        await pilot.press("down")
        await pilot.pause()
        assert (
            "F2 file  F5 again, same seed  F6 new seed  F7 replay  Enter home  ↑ ↓"
            in screen_text(app)
        )
