"""The application: which screen follows which in a flight. It draws nothing and judges nothing.

Screens ask by message; this class builds what they ask for out of the services. What flies is
imported when something is flown, so that the home screen paints early.
"""

from __future__ import annotations

import gc
from dataclasses import replace
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING

from textual.screen import Screen

from trainer.app.clock import Clock, real_clock
from trainer.app.home_app import HomeApp
from trainer.app.launch import Resume, Start, collect_again
from trainer.app.messages import (
    ExportRequested,
    FlightEnded,
    FlightLeft,
    FlyAgainRequested,
    FlyRequested,
    OwnSegmentRequested,
    PreparationEnded,
    RepeatRequested,
    ReplayRequested,
    ResumeRequested,
    SegmentRequested,
    SegmentsRequested,
    SetUpRequested,
    TourRequested,
)
from trainer.app.services import NOT_KEPT
from trainer.app.settings import USUAL, Settings
from trainer.errors import EXIT_JUDGED, UserError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from trainer.app.ahead import Ahead
    from trainer.app.resumed import Resumed
    from trainer.app.segments import Reference
    from trainer.app.services import Recorder, Services
    from trainer.app.takeoff import Flown
    from trainer.crew.session import Session
    from trainer.judge.judgement import Judgement
    from trainer.scenario.exercise import Exercise, Part

__all__ = ["Start", "TrainerApp", "run_app"]


STARTED_S = 1.0
"""By then the first screen stands, s."""


class TrainerApp(HomeApp):
    """Home, set-up, flight, debrief. `start` flies at once, `resumed` flies on."""

    def __init__(
        self,
        services: Services,
        start: Start | None = None,
        clock: Clock = real_clock,
        resumed: Resumed | None = None,
        settings: Settings = USUAL,
        *,
        is_ascii: bool = False,
    ) -> None:
        first = "home" if start is None and resumed is None else "flight"
        super().__init__(services, settings, is_ascii=is_ascii, first=first)
        self._clock = clock
        self._start = start
        self._resumed = resumed
        self._request: Start | None = None
        self._flown: Flown | None = None
        self._again: tuple[Session, Judgement] | None = None
        self._recorder: Recorder | None = None
        self._cut: tuple[Exercise, Reference] | None = None

    def on_mount(self) -> None:
        """Fly at once if asked to."""
        self.set_timer(STARTED_S, collect_again)
        if self._start is not None:
            self._fly(self._start)
        elif self._resumed is not None:
            self._fly_on(self._resumed)

    def action_suspend_process(self) -> None:
        """Ctrl-Z: a flight is paused first, then the shell has the terminal."""
        stop = getattr(self.screen, "stop", None)
        if stop is not None:
            stop()
        super().action_suspend_process()

    # Flying -------------------------------------------------------------------------------------

    def _fly(self, request: Start) -> None:
        """Begin the flight that `request` describes; a bad file is told on the home screen."""
        from trainer.app.takeoff import take_off

        if self._again is not None:
            self._again = None
            self.set_timer(STARTED_S, gc.collect)  # two flights would take twice the memory
        try:
            flown = take_off(self.services, request, self._tell_trouble, self.settings.keymap)
        except UserError as error:
            self._tell_error(error)
            return
        self._show(flown)

    def _fly_on(self, resumed: Resumed) -> None:
        """Take up a flight where it stopped."""
        from trainer.app.takeoff import fly_on

        self._show(fly_on(resumed, self._tell_trouble, self.settings.keymap))

    def _show(self, flown: Flown) -> None:
        self._request = flown.request
        self._flown = flown
        self.push_screen(self._screen_of(flown))

    def _screen_of(self, flown: Flown) -> Screen[None]:
        """What a flight begins with: its set-up, the tour beside it, or the flight itself."""
        given = (flown.driver, self._clock, self.settings)
        if flown.request.prepares and not flown.request.from_moment:
            flown.driver.prepare()
        if flown.driver.is_preparing:
            from trainer.app.screens.preparation import PreparationScreen

            return PreparationScreen(*given)
        if flown.request.is_tour:
            from trainer.app.screens.tour import TourScreen

            return TourScreen(*given)
        from trainer.app.screens.flight import FlightScreen

        return FlightScreen(*given)

    def on_preparation_ended(self, _message: PreparationEnded) -> None:
        """Set up and briefed: the flight takes the place of that screen."""
        from trainer.app.screens.flight import FlightScreen

        if self._flown is not None:
            driver = self._flown.driver
            driver.begin(self._clock())
            self.switch_screen(FlightScreen(driver, self._clock, self.settings))

    def _tell_trouble(self) -> None:
        """Say on the flight screen, once, that the attempt is not kept any more."""
        notice = self.services.notice()
        if notice != self._trouble:
            self._trouble = notice
            tell = getattr(self.screen, "tell_trouble", None)
            if tell is not None:
                tell(NOT_KEPT)

    def on_resume_requested(self, message: ResumeRequested) -> None:
        """From the home screen."""
        if self.screen is not self._home:
            return
        try:
            resumed = self.services.resume(message.number)
        except UserError as error:
            self._tell_error(error)
            return
        self._fly_on(resumed)

    def on_fly_requested(self, message: FlyRequested) -> None:
        """From the home screen; a second Enter that came too late is nothing."""
        if self.screen is self._home:
            self._fly(Start(message.exercise, message.level, message.seed))

    def on_set_up_requested(self, message: SetUpRequested) -> None:
        """From the home screen, or from the sheet above it."""
        from trainer.app.screens.brief import BriefScreen

        if isinstance(self.screen, BriefScreen):
            self.pop_screen()
        if self.screen is self._home and self._home is not None:
            level = message.level or self._home.level
            self._fly(Start(message.exercise, level, prepares=True))

    def on_tour_requested(self, _message: TourRequested) -> None:
        """The tour; whoever has begun it once is not offered it again."""
        if self.screen is self._home:
            from trainer.app.tour import TOUR

            self.services.tour_begun()
            self._fly(TOUR)

    def on_segments_requested(self, message: SegmentsRequested) -> None:
        """The segments of an exercise; a good crew flies it once to find them."""
        if self.screen is self._home:
            self._tell_home("Flying it once to find the segments …")
            self.call_after_refresh(self._show_segments, message.exercise, message.level)

    def _show_segments(self, name: str, level: str) -> None:
        from trainer.app.screens.segments import SegmentsScreen
        from trainer.app.segments import reference_of

        exercise = self._read_at_home(name)
        if exercise is None:
            return
        self._cut = (exercise, reference_of(exercise))
        self.push_screen(
            SegmentsScreen(name, exercise.title, self._cut[1].parts, self._trend_of(name), level)
        )

    def _trend_of(self, name: str) -> Callable[[Part], Sequence[float]]:
        def trend(part: Part) -> Sequence[float]:
            return self.services.trend(name, part.from_moment, part.until_moment)

        return trend

    def on_own_segment_requested(self, message: OwnSegmentRequested) -> None:
        """From the segments of an exercise, flown once already."""
        from trainer.app.own_segment import nameable
        from trainer.app.screens.own_segment import OwnSegmentScreen
        from trainer.app.screens.segments import SegmentsScreen

        if not isinstance(self.screen, SegmentsScreen) or self._cut is None:
            return
        exercise, reference = self._cut
        name = self.screen.exercise
        self.push_screen(
            OwnSegmentScreen(
                name, exercise.title, reference, nameable(exercise), self._trend_of(name),
                message.level,
            )
        )  # fmt: skip

    def on_segment_requested(self, message: SegmentRequested) -> None:
        """Fly a part; the second Enter of two comes when its screen is gone."""
        from trainer.app.screens.own_segment import OwnSegmentScreen
        from trainer.app.screens.segments import SegmentsScreen

        if not isinstance(self.screen, SegmentsScreen | OwnSegmentScreen):
            return
        self._down_to_home()
        self._fly(
            Start(message.exercise, message.level, None, message.from_moment, message.until_moment)
        )

    def on_flight_ended(self, _message: FlightEnded) -> None:
        """Judge, record, and show the debrief in place of the flight."""
        from trainer.app.screens.debrief import DebriefScreen
        from trainer.app.takeoff import finish

        flown, self._flown = self._flown, None
        if flown is None:
            return
        judgement, extra = finish(flown, self.services)
        self._recorder = flown.recorder
        self.outcome = 0 if judgement.outcome == "passed" else EXIT_JUDGED
        if trend := self._trend():
            extra.append(trend)
        session = flown.driver.session
        self._again = (session, judgement)
        text = self.services.debrief(session, judgement)
        what_if = partial(self.services.what_if, session, judgement)
        differs = partial(self.services.differs, session, judgement)
        more = partial(self.services.debrief, session, judgement, has_ladder=True)
        self.switch_screen(DebriefScreen(text, self._clock, extra, what_if, differs, more))

    def on_replay_requested(self, _message: ReplayRequested) -> None:
        """The flight that was just debriefed, along its time."""
        from trainer.app.screens.debrief import DebriefScreen
        from trainer.app.screens.replay import Flown, ReplayScreen
        from trainer.report.debrief import debrief

        if self._again is None or not isinstance(self.screen, DebriefScreen):
            return
        session, judgement = self._again
        flight = session.flight
        told = debrief(judgement, session.exercise, flight.rows, flight.facts).timeline
        self.push_screen(
            ReplayScreen(Flown(session.exercise, flight.rows, flight.facts, told), self._clock)
        )

    def _trend(self) -> str:
        """How a segment that was just flown went the last ten times, "" for a whole flight."""
        from trainer.app.segments import trend_text

        request = self._request
        if request is None or request.is_tour or not (request.from_moment or request.until_moment):
            return ""
        points = self.services.trend(request.exercise, request.from_moment, request.until_moment)
        return f"this segment, last ten: {trend_text(points)}; F6 with new numbers"

    def on_export_requested(self, _message: ExportRequested) -> None:
        """From the debrief: the attempt as a file, also one that is only held in memory."""
        tell = getattr(self.screen, "tell", None)
        if self._recorder is not None and tell is not None:
            tell(self._recorder.export())

    def on_flight_left(self, _message: FlightLeft) -> None:
        """The attempt stays unfinished in the records, and the home screen says so."""
        flown, self._flown = self._flown, None
        self.outcome = EXIT_JUDGED
        left = "" if flown is None else flown.recorder.leave(flown.driver.row.step)
        self._go_home()
        self._tell_home(left)

    def on_repeat_requested(self, message: RepeatRequested) -> None:
        """The same again, perhaps with a new seed."""
        request = self._request
        if request is None or self._flown is not None or self.screen is self._home:
            return
        if message.with_new_seed:
            request = replace(request, seed=self.services.fresh_seed())
        self.pop_screen()
        self._fly(request)

    def on_fly_again_requested(self, message: FlyAgainRequested) -> None:
        """The same with the same values, taken over at a moment before a finding."""
        request = self._request
        if request is None or self._flown is not None or self.screen is self._home:
            return
        self.pop_screen()
        self._fly(replace(request, from_moment=message.moment, until_moment=""))


def run_app(
    start: Start | Resume | None = None, ahead: Ahead | None = None, *, is_ascii: bool = False
) -> int:
    """Run the app on this machine's files; see `launch.run_app`, which is the way in."""
    from trainer import paths
    from trainer.app.local import LocalServices
    from trainer.app.settings import load

    settings = load(paths.configuration_file())
    services = LocalServices()
    try:
        resumed = None
        if isinstance(start, Resume):
            resumed, start = services.resume(start.number), None
        if start is not None:
            _import_what_flies()  # while the exercise is still being composed beside this process
            # A mistake is told on the command line, before the terminal is taken.
            services.look_at(start, ahead)
        app = TrainerApp(services, start, resumed=resumed, settings=settings, is_ascii=is_ascii)
        return app.run() or 0
    finally:
        services.close()


def _import_what_flies() -> None:
    for name in ("takeoff", "screens.flight"):
        import_module(f"trainer.app.{name}")
