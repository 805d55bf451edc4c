"""A pilot who flies through the driver in real time: acts by key, words by an opened line.

What to do is taken from the perfect crew (with edits); how time passes is the tests' own: each
call stands open for a while before it is sent, and what happens to the program in between is a
function of the driver and the time.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from tests.crew.crews import exercise
from trainer.app.driver import Driver
from trainer.app.router import Draft
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.flight.acts import Act
from trainer.judge.judgement import Judgement
from trainer.scenario.exercise import Edit

STRIDE_S = 0.1
"""Real time between two looks of the driver at the clock, s."""


@dataclass(slots=True)
class Pilot:
    """Flies `name` at `level`; typing a call takes `typing_s` of real time.

    `meanwhile` is told driver and time at each stride; it returns the real time that then passes
    without the program running, s.
    """

    level: str
    name: str = "straight-in"
    edits: tuple[Edit, ...] = ()
    typing_s: float = 0.0
    factor: int = 1
    meanwhile: Callable[[Driver, float], float] = lambda _driver, _now_s: 0.0
    driver: Driver = field(init=False)
    now_s: float = 0.0

    def flown(self) -> Judgement:
        """Fly to the end, and judge."""
        driver = self.driver = Driver(Session(exercise(self.name)), self.level)
        crew = PerfectCrew(driver.session.tracker, self.edits)
        driver.advance(self.now_s)
        seen = -1
        while not driver.is_over:
            while driver.factor < self.factor:
                driver.faster()
            if driver.row.step != seen:
                seen = driver.row.step
                for act in crew.acts(driver.row):
                    self._do(act)
            self._pass(STRIDE_S)
        return driver.session.judgement()

    def _pass(self, seconds: float) -> None:
        for _ in range(round(seconds / STRIDE_S)):
            self.now_s += STRIDE_S + self.meanwhile(self.driver, self.now_s)
            self.driver.thaw()
            self.driver.is_paused = False
            self.driver.advance(self.now_s)

    def _do(self, act: Act) -> None:
        driver = self.driver
        if act.act not in ("say", "read back"):
            value = act.value
            if act.act == "checklist":
                names = [one.name for one in driver.session.exercise.flow.checklists]
                value = str(names.index(act.control) + 1)
            driver.do(Draft(act.act, act.control, value))
            return
        driver.is_line_open = True
        began = driver.row.step
        self._pass(self.typing_s)
        driver.is_line_open = False
        driver.do(Draft(act.act, act.control, "", act.text, began))
