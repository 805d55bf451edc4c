"""Somebody who does anything at any time: the flight goes on to an end, and is judged.

Acts of every kind, with the values of the controls and with others, at any rate from one in ten
seconds to three in each step. Whatever is done, every number of the flight is finite, the fold is
the batch, and the same acts fly the same flight.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from trainer.crew.session import Session
from trainer.flight.acts import Act
from trainer.flight.replay import digest, fly_again
from trainer.flight.row import Row
from trainer.judge.batch import judge
from trainer.records.packing import pack, unpack
from trainer.scenario.compose import load
from trainer.scenario.controls import CONTROLS
from trainer.scenario.draw import draw
from trainer.scenario.exercise import Exercise
from trainer.scenario.library import default_library
from trainer.scenario.patterns import SLOT

pytestmark = pytest.mark.dear

NONSENSE = ("", "nothing", "-1", "1e9", "nan", "inf", "\u202e", "é", "00", "1.5.2")
NAMES = default_library().names("exercise")


class Anybody:
    """A crew that draws what it does; the same number draws the same."""

    def __init__(self, exercise: Exercise, chance: random.Random) -> None:
        self._exercise = exercise
        self._chance = chance
        self._rate = 10.0 ** chance.uniform(-2.0, 0.5)
        self._phrases = [phrase for _, spoken in exercise.house.words for phrase in spoken]
        self._controls = {
            kind: [name for name, control in CONTROLS.items() if control.kind == kind]
            for kind in ("button", "lever", "selector")
        }
        # Whoever presses everything leaves the approach at once; most flights shun a few things.
        self._shunned = frozenset(chance.sample(sorted(CONTROLS), chance.randint(0, 25)))

    def acts(self, row: Row) -> list[Act]:
        """What is done at `row`: up to three acts."""
        share = self._rate / 3.0
        return [self._act(row) for _ in range(3) if self._chance.random() < share]

    def _act(self, row: Row) -> Act:
        chance = self._chance
        kinds: dict[str, Callable[[], tuple[str, str, str]]] = {
            "press": lambda: (self._control("button"), "", ""),
            "move": self._lever,
            "set": self._selector,
            "say": lambda: ("", "", self._text()),
            "read back": lambda: (self._event(), "", self._text()),
            "checklist": lambda: (self._checklist(), "", ""),
            "line": lambda: ("", chance.choice(["", self._text()]), ""),
            "brief": lambda: (chance.choice(["minimums", "course", "x"]), self._number(), ""),
        }
        kind = chance.choice(list(kinds))
        control, value, text = kinds[kind]()
        return Act(row.step, 0, "pilot", kind, control, value, text, row.step)

    def _control(self, kind: str) -> str:
        known = [name for name in self._controls[kind] if name not in self._shunned]
        return self._chance.choice(known or self._controls[kind])

    def _lever(self) -> tuple[str, str, str]:
        name = self._control("lever")
        stages = tuple(stage.name for stage in self._exercise.aircraft.flaps)
        return name, self._chance.choice([*(CONTROLS[name].positions or stages), "nowhere"]), ""

    def _selector(self) -> tuple[str, str, str]:
        name = self._control("selector")
        control = CONTROLS[name]
        if self._chance.random() < 0.1:
            return name, self._chance.choice(NONSENSE), ""
        value = self._chance.uniform(control.low - 1.0, control.high + 1.0)
        return name, f"{value:.{self._chance.choice((0, 2))}f}", ""

    def _number(self) -> str:
        return self._chance.choice([str(self._chance.randint(0, 9999)), *NONSENSE])

    def _text(self) -> str:
        words = self._chance.choice(self._phrases)
        said = SLOT.sub(lambda _: self._number(), words)
        return said if self._chance.random() < 0.9 else f"{said} {self._chance.choice(NONSENSE)}"

    def _event(self) -> str:
        return self._chance.choice([*(event.name for event in self._exercise.events), "nobody"])

    def _checklist(self) -> str:
        return self._chance.choice([*(one.name for one in self._exercise.flow.checklists), "none"])


def fly(number: int) -> int:
    """Fly and check the flight of this number; returns how many acts it took."""
    chance = random.Random(number)
    exercise = draw(load(chance.choice(NAMES), default_library()), number)
    session = Session(exercise)
    live = session.run(Anybody(exercise, chance).acts)
    flight, book = session.flight, session.book
    assert flight.reason
    assert live.points is None or 0.0 <= live.points <= 100.0
    rows, facts = unpack(pack(flight.rows, flight.facts))  # refuses what is no number
    assert judge(exercise, book, flight.acts, facts, rows) == live
    if number % 5 == 0:
        again = fly_again(exercise, book, flight.acts)
        assert digest(exercise, again.acts, again.rows, again.facts) == digest(
            exercise, flight.acts, flight.rows, flight.facts
        )
    return len(flight.acts)


@pytest.mark.parametrize("number", range(2))
def test_whatever_is_done_the_flight_ends_and_is_judged(number: int) -> None:
    fly(number)


@pytest.mark.long
def test_a_million_acts() -> None:
    acts, number = 0, 1000
    while acts < 1_000_000:
        acts += fly(number)
        number += 1
    print(f"{acts:,} acts in {number - 1000} flights, numbers 1000 to {number - 1}")
