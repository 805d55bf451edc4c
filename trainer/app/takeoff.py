"""From what a person asks for to a flight on its way: exercise drawn, record begun, driver made.

Shared by the screens and by the plain way of flying. It draws nothing and lets no time pass.
Surprising rule: part of a segment is flown by the perfect crew, so it is on record as a segment
and never counts as a check.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from trainer.app.driver import Before, Driver
from trainer.app.keymap import DEFAULT, Keymap
from trainer.app.launch import Start, seeded
from trainer.app.tour import Unkept, debrief_notes
from trainer.crew.session import Session
from trainer.flight.compact import CompactRows
from trainer.records.journal import WHOLE, Segment

if TYPE_CHECKING:
    from trainer.app.resumed import Resumed
    from trainer.app.services import Recorder, Services
    from trainer.judge.judgement import Judgement
    from trainer.scenario.exercise import Exercise
    from trainer.scenario.moments import Moment


class Flown(NamedTuple):
    """A flight on its way: what was asked for (with its seed), who drives it, who keeps it."""

    request: Start
    driver: Driver
    recorder: Recorder


def take_off(
    services: Services, request: Start, beat: Callable[[], None], keymap: Keymap = DEFAULT
) -> Flown:
    """Begin the flight that `request` describes; `beat` is called once a second of flight.

    Raises UserError if the exercise or a moment is missing or wrong.
    """
    request = seeded(request, services.fresh_seed)
    exercise = services.exercise(request.exercise, request.seed or 0)
    start, until = (
        services.moment(text, exercise) if text else None
        for text in (request.from_moment, request.until_moment)
    )
    is_segment = bool(request.from_moment or request.until_moment)
    segment = Segment(request.level, request.from_moment, request.until_moment)
    recorder: Recorder = Unkept()
    if not request.is_tour:
        recorder = services.recorder(
            exercise, "segment" if is_segment else request.level, segment if is_segment else WHOLE
        )
    return _flown(request, exercise, recorder, beat, keymap, start, until)


def fly_on(resumed: Resumed, beat: Callable[[], None], keymap: Keymap = DEFAULT) -> Flown:
    """Take up a flight where it stopped."""
    _, since, until = resumed.segment
    exercise = resumed.exercise
    request = Start(exercise.name, resumed.level, exercise.seed, since, until)
    return _flown(
        request, exercise, resumed.recorder, beat, keymap, None, resumed.until, resumed.before
    )  # fmt: skip


def finish(flown: Flown, services: Services) -> tuple[Judgement, list[str]]:
    """Judge and keep a flight that has ended.

    Returns the judgement, and what else its pilot should know of the attempt, a line each.
    """
    driver = flown.driver
    judgement = driver.session.judgement()
    flown.recorder.finish(driver.session, judgement)
    if flown.request.is_tour:
        return judgement, debrief_notes()
    extra = [f"{driver.level}; {driver.reason}"]
    if driver.interruptions:
        extra = [f"{extra[0]}; interrupted {len(driver.interruptions)} times: does not count"]
    if driver.rewinds:
        extra[0] += f"; taken back {driver.rewinds} times"
    if notice := services.notice():
        extra.append(notice)
    return judgement, extra


def _flown(
    request: Start,
    exercise: Exercise,
    recorder: Recorder,
    beat: Callable[[], None],
    keymap: Keymap,
    start: Moment | None,
    until: Moment | None,
    before: Before | None = None,
) -> Flown:
    def on_beat(step: int) -> None:
        recorder.beat(step)
        beat()

    driver = Driver(
        Session(exercise, rows=CompactRows()),
        request.level,
        start=start,
        until=until,
        before=before,
        on_act=recorder.act,
        on_beat=on_beat,
        on_interruption=recorder.interrupted,
        on_rewind=recorder.rewound,
        keymap=keymap,
    )
    return Flown(request, driver, recorder)
