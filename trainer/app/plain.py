"""Flying line by line, for screen readers, paper and pipes: no cursor is moved, no colour sent.

Owns the conversation: what is typed goes to the same driver as on the screen, and what changes is
told in short lines. It knows no rule of flight. Surprising rule: Guided has no clock here. Time
flies at once to the next step that is asked for, and stands there; Coached and Check run in real
time.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from trainer.app.clock import Clock, HandClock
from trainer.app.driver import Driver
from trainer.app.keymap import DEFAULT, Keymap
from trainer.app.prompting import Hint
from trainer.app.router import Ask, Draft, Note
from trainer.app.spoken import Speaker, modes_text, place_text, status_lines
from trainer.app.typed import WORDS, GoOn, Opened, Tell, Typed, Wait, to_type, typed
from trainer.app.view import View, view_of
from trainer.scenario.controls import CONTROLS
from trainer.text import shown
from trainer.units import steps_for

TICK_S = 0.2
STRIDE_S = 0.5
"""Guided flies so much between two looks at what has changed, s."""
STILL = "time stands still; an empty line goes on"
Say = Callable[[str], None]


class Inbox(Protocol):
    """Where typed lines come from."""

    def take(self, seconds: float) -> str | None:
        """The next line, "" for an empty one; None if none came within `seconds`."""

    def rest(self, seconds: float) -> None:
        """Let `seconds` pass without taking a line."""

    @property
    def is_closed(self) -> bool:
        """Whether no line will come any more."""


class PlainFlight:
    """One flight told and flown in lines; `say` writes a line."""

    def __init__(self, driver: Driver, say: Say, keymap: Keymap = DEFAULT) -> None:
        self.driver = driver
        self.is_leaving = False
        self._say = say
        self._keymap = keymap
        self._fitted = [
            name for name in CONTROLS if name in driver.session.exercise.aircraft.controls
        ]
        self._opened: tuple[str, int] | None = None
        self._hold_until = -1
        self._hinted: tuple[str, str] | None = None
        self._still = HandClock()
        self._speaker = Speaker(self._view())
        self._was_frozen = False

    @property
    def is_over(self) -> bool:
        """Whether nothing more can be flown here."""
        return self.driver.is_over or self.is_leaving

    @property
    def is_holding(self) -> bool:
        """Whether the next line has to wait for time to pass."""
        return self.driver.row.step < self._hold_until and not self.is_over

    def begin(self) -> None:
        """Say where the flight stands."""
        view = self._view()
        self._say(f"{view.title}, {view.place}. Level: {self.driver.level}.")
        for line in status_lines(view):
            self._say(line)
        self._say(f"modes: {modes_text(view)}")
        self._say("? lists the words; `leave` leaves.")
        if self.driver.is_paused or self.driver.is_frozen:
            self._say(STILL)
        elif self.driver.level == "guided":
            self._fly_to_step()
        self.tell()

    def tick(self, now_s: float) -> None:
        """Let real time pass, where it does, and tell what has changed."""
        if self.driver.level == "guided":
            return
        was_paused = self.driver.is_paused
        self.driver.advance(now_s)
        if self.driver.is_paused and not was_paused:
            self._say(STILL)
        if self.driver.is_frozen and not self._was_frozen:
            self._say("interrupted: the check does not count; any line goes on")
        self._was_frozen = self.driver.is_frozen
        self.tell()

    def tell(self) -> None:
        """Tell what has changed since it was told last."""
        for line in self._speaker.lines(self._view()):
            self._say(line)
        self._tell_hint()

    def take(self, line: str) -> None:
        """Take one typed line."""
        driver = self.driver
        if driver.thaw():
            self._say("time goes on")
            return
        step = driver.row.step
        if self._opened is not None:
            (kind, began), self._opened = self._opened, None
            driver.is_line_open = False
            words = line.strip()
            asked: list[Typed] = [Note("nothing said")]
            if words:
                asked = [Draft(kind, text=words, began=began)]
        else:
            asked = typed(line, step, driver.session.exercise, self._keymap)
        has_acted = False
        for one in asked:
            has_acted |= self._do(one)
        if has_acted and driver.level == "guided" and not driver.is_paused:
            self._hinted = None  # what still waits is asked for again
            self._fly_to_step()
        self.tell()

    def _do(self, asked: Typed) -> bool:
        """Do one thing; True if time may go on after it (guided)."""
        driver, step = self.driver, self.driver.row.step
        match asked:
            case Draft():
                note = driver.do(asked)
                self._note(note)
                return note is None
            case Note(text):
                self._say(text)
            case Opened(kind):
                self._opened = (kind, step)
                driver.is_line_open = True
                self._say(f"{kind}: it counts from now; type the words")
            case Wait(seconds):
                return self._wait(seconds)
            case Tell(what):
                self._answer(what)
            case GoOn():
                return self._go_on()
            case Ask(what):
                return self._ask(what)
        return False

    def _ask(self, what: str) -> bool:
        driver = self.driver
        match what:
            case "pause":
                note = driver.pause()
                self._note(note)
                if note is None:
                    self._say(STILL if driver.is_paused else "time goes on")
            case "rewind":
                note = driver.rewind()
                self._note(note)
                if note is None:
                    self._opened, driver.is_line_open, self._hinted = None, False, None
                    self._speaker = Speaker(self._view())
                    self._say(f"taken back; {place_text(self._view())}; {STILL}")
            case "skip":
                note = driver.skip()
                self._note(note)
                return note is None
            case "faster":
                if driver.level == "guided":
                    self._say("time flies at once to the next step here")
                    return False
                self._note(driver.faster())
                if driver.factor > 1:
                    self._say(f"time times {driver.factor}")
            case "real time":
                self._note(driver.real_time())
            case "leave":
                self.is_leaving = True
        return False

    def _go_on(self) -> bool:
        driver = self.driver
        if driver.is_paused:
            driver.pause()
            self._say("time goes on")
            return True
        if driver.row.challenge:
            return self._do(Draft("line"))
        if driver.level == "guided":
            return True
        for line in status_lines(self._view()):
            self._say(line)
        return False

    def _wait(self, seconds: float) -> bool:
        driver = self.driver
        if driver.is_paused:
            self._say(STILL)
        elif driver.level != "guided":
            self._hold_until = driver.row.step + steps_for(seconds)
        elif driver.is_waiting:
            self._say("time waits for the step; `skip` gives it up")
        else:
            self._fly_to_step(driver.row.step + steps_for(seconds))
        return False

    def _answer(self, what: str) -> None:
        match what:
            case "status":
                for line in status_lines(self._view()):
                    self._say(line)
            case "modes":
                self._say(modes_text(self._view()))
            case "step":
                self._hinted = None
                if self.driver.hint is None:
                    has_steps = self.driver.has_prompter
                    self._say("no step is asked for" if has_steps else "not in a check")
            case "keys":
                for key, name, text in self._keymap.fitted(self._fitted).table():
                    self._say(f"{key}: {name}: {text}")
            case "help":
                for word, text in WORDS:
                    self._say(f"{word}: {text}")
                self._say(f"controls: {', '.join(self._fitted)}")
            case name if name in CONTROLS:
                key = self._keymap.key_of(name)
                self._say(f"{name}, a {CONTROLS[name].kind}, key {key}: {CONTROLS[name].help}")
            case name:
                self._say(f"no control is called {shown(name)}; ? lists them")

    def _fly_to_step(self, until: int | None = None) -> None:
        """Fly on until a step is asked for, telling what changes on the way (guided)."""
        driver = self.driver
        driver.advance(self._still())
        while not (driver.is_waiting or driver.is_over or driver.is_paused):
            if until is not None and driver.row.step >= until:
                break
            self._still.advance(STRIDE_S)
            driver.advance(self._still())
            for line in self._speaker.lines(self._view()):
                self._say(line)

    def _tell_hint(self) -> None:
        hint = self.driver.hint
        told = None if hint is None else (hint.item, hint.what)
        if hint is not None and told != self._hinted:
            for line in hint_text(hint):
                self._say(line)
        self._hinted = told

    def _note(self, note: Note | None) -> None:
        if note is not None:
            self._say(note.text)

    def _view(self) -> View:
        return view_of(self.driver.row, self.driver.scribe)


def hint_text(hint: Hint) -> list[str]:
    """The step to take in lines: what, what to type, why."""
    head = "next" if hint.is_waiting else "due"
    assert hint.act is not None
    lines = [f"{head}: {hint.what}. Type: {to_type(hint.act)}"]
    if hint.more:
        lines[0] += f" ({hint.more} more due)"
    if hint.why and hint.is_waiting:
        lines.append(f"why: {hint.why}")
    return [shown(line) for line in lines]


def converse(flight: PlainFlight, inbox: Inbox, clock: Clock) -> None:
    """Fly until the end, or until the pilot leaves or no line can come any more."""
    if flight.driver.level != "guided":
        flight.driver.advance(clock())
    flight.begin()
    while not flight.is_over:
        line = None
        if flight.is_holding:
            inbox.rest(TICK_S)
        else:
            line = inbox.take(TICK_S)
        flight.tick(clock())
        if line is not None and not flight.is_over:
            flight.take(line)
        elif line is None and inbox.is_closed and not flight.is_holding:
            flight.is_leaving = True
