"""A flight that was left or cut off is flown on, and becomes the flight it would have been."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.help import HandClock, straight_in
from tests.app.test_app import Bench
from trainer import ENGINE
from trainer.app.app import TrainerApp
from trainer.app.driver import Before, Driver
from trainer.app.local import LocalServices
from trainer.app.resumed import flight_of
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.overlay import AgainOverlay
from trainer.app.screens.preparation import PreparationScreen
from trainer.crew.session import Session
from trainer.errors import UserError
from trainer.flight.acts import Act, by_step, numbered
from trainer.flight.replay import digest
from trainer.records.journal import Segment
from trainer.records.store import Records
from trainer.report.closing import close

CUTS = (1, 1234, 3100, 4700)
"""Steps at which flights are cut off, some in the middle of much to do."""
LOST = 10
"""What is done in the last second before the cut is lost, steps."""


def perfect() -> Session:
    from trainer.crew.perfect import PerfectCrew

    session = Session(straight_in())
    crew = PerfectCrew(session.tracker)
    while not session.is_over:
        session.step(crew.acts(session.row))
    return session


@pytest.fixture(scope="module")
def whole() -> Session:
    return perfect()


def fingerprint(session: Session) -> str:
    flight = session.flight
    return digest(session.exercise, flight.acts, flight.rows, flight.facts)


def begun(records: Records, level: str, acts: list[Act], beat: int, until: str = "") -> int:
    exercise = straight_in()
    segment = Segment("coached", "", until) if until else Segment()
    attempt = records.begin(
        exercise.canonical, exercise.digest, exercise.name, "segment" if until else level, "solo",
        exercise.seed, ENGINE, "2031-05-04T10:00:00Z", segment,
    )  # fmt: skip
    for act in acts:
        attempt.act(act)
    attempt.beat(beat)
    return attempt.number


@pytest.mark.parametrize("cut", CUTS)
def test_lost_acts_entered_again_lead_to_the_flight_without_a_cut(
    whole: Session, cut: int, tmp_path: Path
) -> None:
    acts = list(whole.flight.acts)
    kept = [act for act in acts if act.step < cut - LOST]
    beat = max(0, cut - LOST) // 10 * 10
    with Records(tmp_path / "attempts.sqlite3") as records:
        number = begun(records, "check", kept, beat)
        exercise, level, until, before = flight_of(records.load(number))
        attempt = records.reopen(number, is_alive=lambda _token: False)
        driver = Driver(Session(exercise), level, until=until, before=before, on_act=attempt.act)
        assert cut - driver.row.step <= 2 * LOST
        assert driver.is_frozen
        driver.thaw()
        to_come = by_step(acts[len(kept) :])  # what was lost is done again, then the rest
        while not driver.is_over:
            driver._pending += to_come.get(driver.row.step, [])
            driver._fly()
        close(attempt, driver.session, driver.session.judgement())
        stored = records.load(number)
    assert stored.digest == fingerprint(whole)
    assert stored.acts == tuple(acts)
    assert [entry.kind for entry in stored.entries].count("resumed") == 1


def test_the_numbers_of_logged_acts_are_those_they_are_flown_with() -> None:
    logged: list[Act] = []
    driver = Driver(Session(straight_in()), "coached", on_act=logged.append)
    driver.advance(0.0)
    from trainer.app.router import Draft

    for place, control in enumerate(("heading mode", "altitude hold", "nav mode"), 1):
        driver.do(Draft("press", control))
        driver.do(Draft("checklist", "", "99"))  # is none, and takes no number
        driver.advance(place * 0.7)
    assert logged == driver.session.flight.acts
    assert [act.serial for act in logged] == [1, 2, 3]


@pytest.mark.parametrize("level", ["guided", "coached"])
def test_outside_a_check_the_flight_stands_paused_and_nothing_is_told_twice(level: str) -> None:
    told: list[object] = []
    acts = numbered([Act(3, 0, "pilot", "press", "heading mode")])
    driver = Driver(
        Session(straight_in()), level, before=Before(acts, 120), on_act=told.append,
        on_beat=told.append, on_interruption=told.append,
    )  # fmt: skip
    assert (driver.row.step, driver.is_paused, driver.is_frozen) == (120, True, False)
    assert driver.session.flight.acts == acts
    assert told == []


def test_in_a_check_it_is_one_more_interruption() -> None:
    told: list[int] = []
    driver = Driver(
        Session(straight_in()), "check", before=Before((), 90, (20,)), on_interruption=told.append
    )
    assert driver.is_frozen
    assert driver.interruptions == [20, 90]
    assert told == [90]


def test_what_was_said_stands_in_the_log_again() -> None:
    acts = [Act(5, 1, "pilot", "say", text="mumble", began=3)]
    driver = Driver(Session(straight_in()), "coached", before=Before(acts, 20))
    assert [line.text for line in driver.scribe.log][-1].startswith("say again")


def test_an_attempt_of_another_engine_is_not_flown_on(tmp_path: Path) -> None:
    with Records(tmp_path / "attempts.sqlite3") as records:
        exercise = straight_in()
        records.begin(
            exercise.canonical, exercise.digest, exercise.name, "check", "solo", 0, 99, ""
        )
        with pytest.raises(UserError, match="flown by engine 99"):
            flight_of(records.load(1))


def test_a_segment_taken_up_again_still_ends_at_its_moment(tmp_path: Path) -> None:
    with Records(tmp_path / "attempts.sqlite3") as records:
        number = begun(records, "", [], 200, until="distance: below 11 NM")
        exercise, level, until, before = flight_of(records.load(number))
        assert level == "coached"
        driver = Driver(Session(exercise), level, until=until, before=before)
        driver.pause()
        now_s = 0.0
        while not driver.is_over:
            driver.advance(now_s)
            now_s += 1.0
        assert driver.row.distance_nm == pytest.approx(11.0, abs=0.1)


# In the app -------------------------------------------------------------------------------------


async def test_a_flight_that_was_left_is_taken_up_from_the_home_screen(tmp_path: Path) -> None:
    with Records(tmp_path / "attempts.sqlite3") as records:
        clock = HandClock()
        app = TrainerApp(LocalServices(records), None, clock)
        async with app.run_test(size=(80, 24)) as pilot:
            at = Bench(app, pilot, clock, None)  # type: ignore[arg-type]
            await at.settle()
            assert "resume" not in at.text()
            await at.press("2", "enter")
            clock.advance(0.5)
            at.flight.tick()
            await at.press("h")
            step = at.flight.driver.row.step
            await at.press("f10", "y")
            assert at.shows(HomeScreen)
            assert "r resume  / find" in at.text()
            await at.press("r")
            assert at.shows(AgainOverlay)
            assert at.flight.driver.row.step == step
            assert at.flight.driver.session.flight.acts[0].control == "heading mode"
            await at.press("enter")
            assert at.shows(FlightScreen)
            assert not at.flight.driver.is_paused
            await at.press("n")
        kinds = [entry.kind for entry in records.load(1).entries]
    assert kinds == ["act", "left", "resumed", "act"]


async def test_an_attempt_is_offered_when_the_program_starts(tmp_path: Path) -> None:
    with Records(tmp_path / "attempts.sqlite3") as records:
        begun(records, "coached", [], 50)
        services = LocalServices(records)
        assert services.unfinished() is None  # this very process is flying it
        killed = "UPDATE attempts SET process='1:1' WHERE number=1"
        records._databases.write(records.reopen(1), [(killed, ())])
        app = TrainerApp(services, None, HandClock())
        async with app.run_test(size=(80, 24)) as pilot:
            at = Bench(app, pilot, HandClock(), None)  # type: ignore[arg-type]
            await at.settle()
            await at.laid_out()
            assert "attempt 1 is unfinished: r resumes it" in at.text()


async def test_a_disk_that_fills_up_in_flight_is_told_there_and_at_the_debrief(
    tmp_path: Path,
) -> None:
    with Records(tmp_path / "attempts.sqlite3") as records:
        clock = HandClock()
        app = TrainerApp(LocalServices(records), None, clock)
        async with app.run_test(size=(100, 30)) as pilot:
            at = Bench(app, pilot, clock, None)  # type: ignore[arg-type]
            await at.settle()
            await at.press("2", "enter")
            records._databases.file.execute("PRAGMA query_only=ON")  # type: ignore[union-attr]
            at.flight.tick()
            for _ in range(2):
                clock.advance(1.0)
                at.flight.tick()
            await at.laid_out()
            assert "attempts are not kept any more; the flight goes on" in at.text()
            await at.press("h")
            assert at.flight.driver.row.step >= 10
        assert records.load(1).acts[0].control == "heading mode"


async def test_whoever_left_in_the_set_up_goes_on_with_it(tmp_path: Path) -> None:
    records = Records(tmp_path / "attempts.sqlite3")
    acts = [
        Act(0, 1, "pilot", "set", "frequency", "110.35"),
        Act(1, 2, "pilot", "brief", "minimum", "225"),
    ]
    number = begun(records, "check", acts, 0)
    services = LocalServices(records)
    app = TrainerApp(services, None, HandClock(), resumed=services.resume(number))
    async with app.run_test(size=(100, 30)) as pilot:
        at = Bench(app, pilot, HandClock(), None)  # type: ignore[arg-type]
        await at.settle()
        screen = app.screen
        assert isinstance(screen, PreparationScreen)
        assert "110.35 MHz" in at.text()
        assert "1 of 14 briefed" in at.text()
        await at.press("f5")
        driver = at.flight.driver
        assert (driver.row.step, driver.interruptions, driver.is_frozen) == (2, [], False)
