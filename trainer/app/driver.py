"""The driver: decides how fast a flight runs, and when it stands still.

Owns the session, the level, the speed factor and the pilot's acts on their way. It is told the
time and never reads it. The engine never stops; the driver stops calling it: Guided while a step
is waited for, Coached while paused, a check after a gap in real time. Fast time runs only while
no step is open. Surprising rule: an act flies one step at once and time is debited for it, so
that the panel answers the key.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from trainer.app.hands import act_from
from trainer.app.keymap import DEFAULT, Keymap
from trainer.app.prompting import Hint, Prompter, prompter_for
from trainer.app.router import Draft, Note
from trainer.app.scribe import Scribe
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.crew.words import event_named
from trainer.flight.acts import Act, by_step
from trainer.flight.compact import CompactRows
from trainer.flight.observers import Observer
from trainer.flight.row import Row
from trainer.judge.tracks import Track
from trainer.scenario.moments import Moment
from trainer.units import STEP_S, STEPS_PER_S, steps_for

FACTORS = (1, 2, 4, 8)
GAP_S = 1.0
"""A check that was not flown for longer than this is interrupted, s of real time."""
REWIND = steps_for(30.0)
"""How far a rewind goes back, steps."""
SLEPT_S = 5.0
"""Whoever was away for longer than this (a suspended program, a sleeping machine) finds a
pause, s."""
AHEAD_S = 0.3
"""How far acts may fly ahead of real time, s."""
SEGMENT_ENDED = "the segment has been flown"


class Before(NamedTuple):
    """What was flown before a flight is taken up again: acts, steps, earlier interruptions."""

    acts: Sequence[Act]
    steps: int
    interruptions: Sequence[int] = ()


class Driver:
    """Flies one session at the pace of its level ("guided", "coached" or "check").

    `on_act` is told every act as it is flown, `on_beat` the step once a second of flight,
    `on_interruption` the step at which a check stood still. The perfect crew flies to the moment
    `start`; `until` ends the flight early, at the first row at which that moment is true. What
    was flown `before` is flown again at once, told to nobody; then the flight stands still, in a
    check as one more interruption. Steps that were skipped stay skipped.
    """

    def __init__(
        self,
        session: Session,
        level: str,
        *,
        start: Moment | None = None,
        until: Moment | None = None,
        before: Before | None = None,
        on_act: Callable[[Act], None] | None = None,
        on_beat: Callable[[int], None] | None = None,
        on_interruption: Callable[[int], None] | None = None,
        on_rewind: Callable[[int, int], None] | None = None,
        keymap: Keymap = DEFAULT,
    ) -> None:
        self.session = session
        self.level = level
        self.scribe = Scribe(session.exercise, session.row)
        self.interruptions: list[int] = []
        self.rewinds = 0
        self.is_paused = False
        self.is_line_open = False
        self.is_frozen = False
        self.is_preparing = False
        self.factor = 1
        self._on_act = on_act
        self._on_beat = on_beat
        self._on_interruption = on_interruption
        self._on_rewind = on_rewind
        self._keymap = keymap
        self._pending: list[Act] = []
        self._owed_s = 0.0
        self._last_s: float | None = None
        self._reason = ""
        self._until_moment = until
        self._until: Observer | None = None
        self._prompter: Prompter | None = None
        self._watch()
        if start is not None:
            self._hand_over(session.tracker.evaluator.watch(start))
        self._first = self.row.step
        if before is not None:
            self._take_up(before)

    def _watch(self) -> None:
        """Let prompter and end look at the session as it now is."""
        tracker = self.session.tracker
        # The tracker's own evaluator, because "done" and "gate" are known only there.
        until = self._until_moment
        self._until = None if until is None else tracker.evaluator.watch(until)
        self._prompter = prompter_for(self.level, tracker, self._keymap)

    @property
    def row(self) -> Row:
        """The newest row."""
        return self.session.row

    @property
    def hint(self) -> Hint | None:
        """The hint of this level, None where there is none (always, in a check)."""
        if self._prompter is None or self.is_over:
            return None
        return self._prompter.hint(self.row)

    @property
    def has_prompter(self) -> bool:
        """Whether this level shows hints and the volume of the signal."""
        return self._prompter is not None

    @property
    def is_over(self) -> bool:
        """Whether the flight, or the segment of it, has ended."""
        return self.session.is_over or bool(self._reason)

    @property
    def reason(self) -> str:
        """Why it ended, "" while it goes on."""
        return self._reason or self.session.flight.reason

    @property
    def is_waiting(self) -> bool:
        """Whether time stands still because a step is asked for (guided)."""
        return (
            self._prompter is not None and not self.is_over and self._prompter.must_wait(self.row)
        )

    @property
    def speed(self) -> int:
        """The factor by which time runs now: 1 while a line or a step is open."""
        return 1 if self.slow_because else self.factor

    @property
    def slow_because(self) -> str:
        """What keeps time at ×1 though a higher factor is chosen, "" while nothing does."""
        if self._prompter is None:
            return ""
        is_pressing = self._prompter.is_pressing(self.row)
        if self.factor == 1:
            return ""
        if self.is_line_open:
            return "a line is open"
        return "a step is open" if is_pressing else ""

    # Time ---------------------------------------------------------------------------------------

    def advance(self, now_s: float) -> int:
        """Fly what real time asks for at `now_s` (s); returns the number of steps flown."""
        last_s, self._last_s = self._last_s, now_s
        if last_s is None or self.is_over or self.is_preparing:
            return 0
        elapsed_s = now_s - last_s
        if elapsed_s > GAP_S:
            if self.level == "check" and not self.is_frozen:
                self.interrupt()
            elif elapsed_s > SLEPT_S and self.level != "check":
                self.is_paused = True
            elapsed_s = GAP_S
        if self.is_frozen or self.is_paused:
            return 0
        speed = self.speed
        self._owed_s += elapsed_s * speed
        flown = 0
        while self._owed_s >= STEP_S - 1e-9 and not self.is_over:
            if not self._pending and self.is_waiting:
                self._owed_s = 0.0
                self.factor = 1
                break
            self._owed_s -= STEP_S
            self._fly()
            flown += 1
            if speed > 1 and self.slow_because:
                # What is left of this stride is flown as slowly as what follows it.
                self._owed_s /= speed
                speed = 1
        return flown

    def stand_still(self, now_s: float) -> None:
        """Let no time pass up to `now_s`, because nothing can be shown; interrupts a check."""
        self._last_s = now_s
        self.interrupt()

    def interrupt(self) -> None:
        """Freeze a check until a key; it is logged as interrupted."""
        if self.level != "check" or self.is_frozen or self.is_over or self.is_preparing:
            return
        self.is_frozen = True
        self.interruptions.append(self.row.step)
        if self._on_interruption is not None:
            self._on_interruption(self.row.step)

    def prepare(self) -> None:
        """Let no time pass but the step that an act takes, until `begin`: set-up and briefing."""
        self.is_preparing = True

    def begin(self, now_s: float) -> None:
        """Let time run from `now_s` (s) on, as the level does."""
        self.is_preparing = False
        self._last_s, self._owed_s = now_s, 0.0

    def thaw(self) -> bool:
        """Go on after an interruption; True if there was one."""
        was_frozen, self.is_frozen = self.is_frozen, False
        return was_frozen

    def pause(self) -> Note | None:
        """Pause or go on; a note where the level has no pause."""
        if self.level == "check":
            return Note("there is no pause in a check")
        self.is_paused = not self.is_paused
        return None

    def faster(self) -> Note | None:
        """Double the speed of time, after eight times back to one; not in a check."""
        if self._prompter is None:
            return Note("time runs as it is in a check")
        if self.is_waiting:
            key = self._keymap.shown("faster")
            return Note(f"time waits for the step; {key} runs it faster between steps")
        at = FACTORS.index(self.factor)
        self.factor = FACTORS[(at + 1) % len(FACTORS)]
        # The screen shows the factor for as long as it holds; a note would outlive it.
        return Note("time ×1") if self.factor == 1 else None

    def real_time(self) -> Note | None:
        """Let time run as it is."""
        self.factor = 1
        return Note("time ×1")

    def skip(self) -> Note | None:
        """Give up the step that time waits for."""
        if self.level != "guided":
            return Note("skip works only in Guided")
        if self._prompter is None or not self._prompter.skip(self.row):
            return Note("there is nothing to skip now")
        return None

    def rewind(self) -> Note | None:
        """Take the flight back by 30 s; then it stands still.

        Not beyond where it was handed over, nor into its set-up. What was flown up to there is
        flown again from its acts; those after it no longer count.
        """
        if self.level == "check":
            return Note("time runs only forward in a check")
        first = max(self._first, _prepared(self.session.flight.acts))
        step, to = self.row.step, max(first, self.row.step - REWIND)
        if self.is_over or to >= step:
            return Note("there is nothing to go back over")
        acts = [act for act in self.session.flight.acts if act.step < to]
        self.session = Session(self.session.exercise, self.session.book, CompactRows())
        self.scribe = Scribe(self.session.exercise, self.session.row)
        self._watch()
        self._pending.clear()
        self._owed_s = 0.0
        self.factor = 1
        self._fly_again(acts, to)
        self.rewinds += 1
        if self._on_rewind is not None:
            self._on_rewind(step, to)
        if self._on_beat is not None:
            self._on_beat(to)
        self.is_paused = True
        return None

    # Acts ---------------------------------------------------------------------------------------

    def do(self, draft: Draft) -> Note | None:
        """Make an act of the pilot; returns a note where it is none."""
        if self.is_over:
            return None
        act = act_from(draft, self.row, self.session.exercise, self.scribe.begun)
        if isinstance(act, Note):
            return act
        self._pending.append(act)
        if self.is_preparing or self.is_waiting:
            self._owed_s = 0.0
            self._fly()
        elif not (self.is_paused or self.is_frozen) and self._owed_s > STEP_S - AHEAD_S:
            self._owed_s -= STEP_S
            self._fly()
        return None

    def _fly(self) -> None:
        step = self.row.step
        acts = self._numbered([act._replace(step=step) for act in self._pending])
        self._pending.clear()
        for act in acts:
            if self._on_act is not None:
                self._on_act(act)
        self._step(acts)

    def _step(self, acts: list[Act]) -> None:
        own = [act for act in acts if act.by == "pilot"]
        answered = self._answered() if own else 0
        facts = self.session.step(acts)
        self.scribe.take(self.row, facts)
        for act in own:
            self._note_words(act, self._answered() > answered)  # below the words themselves
        if self._on_beat is not None and self.row.step % STEPS_PER_S == 0:
            self._on_beat(self.row.step)
        if self._until is not None and self._until.now and not self.session.is_over:
            self._reason = SEGMENT_ENDED

    def _numbered(self, acts: Sequence[Act]) -> list[Act]:
        """`acts` with the numbers that the session will give them, for the record."""
        first = len(self.session.flight.acts) + 1
        return [act._replace(serial=first + place) for place, act in enumerate(acts)]

    def _note_words(self, act: Act, is_answered: bool) -> None:
        if act.act not in ("say", "read back"):
            return
        heard = self.session.book.hear(act.text)
        if not heard.is_clear:
            words = ", ".join(heard.unknown)
            self.scribe.say_again(act.step, words)
        elif act.act == "read back" and not is_answered:
            self._correct_read_back()

    def _answered(self) -> int:
        """How many clearances have been read back right."""
        return sum(track.done is not None for track in self._read_backs())

    def _read_backs(self) -> list[Track]:
        return [one for one in self.session.tracker.tracks if one.item.act.kind == "read back"]

    def _correct_read_back(self) -> None:
        """Let the controller put right what was read back wrong; a check has nobody who listens."""
        misread = [one for one in self._read_backs() if one.is_pending and one.wrong is not None]
        if misread and self.has_prompter:
            event = event_named(self.session.exercise, misread[-1].item.act.event)
            self.scribe.correct(self.row.step, event.atc, self.session.exercise.callsign)

    def _hand_over(self, start: Observer) -> None:
        """Let the perfect crew fly to the moment at which the pilot takes over."""
        crew = PerfectCrew(self.session.tracker)
        while not start.now and not self.is_over:
            acts = self._numbered(crew.acts(self.row))
            for act in acts:
                if self._on_act is not None:
                    self._on_act(act)
            self._step(acts)
        self.scribe.hand_over(self.row.step)

    def _take_up(self, before: Before) -> None:
        """Fly what was flown before, and stand still where it stopped.

        Where that was no more than a set-up, it goes on with the set-up: nothing was interrupted.
        """
        self.interruptions += before.interruptions
        self._fly_again(before.acts, before.steps)
        if 0 < before.steps <= _prepared(before.acts):
            self.prepare()
            return
        self.interrupt()
        self.is_paused = not (self.is_frozen or self.is_over)

    def _fly_again(self, acts: Sequence[Act], steps: int) -> None:
        """Fly `acts` up to a step, told to nobody.

        Guided time passes a step that is asked for only if something was done or the step was
        skipped; so it is known which were. (A crew that hands over leaves steps as well.)
        """
        on_beat, self._on_beat = self._on_beat, None
        due_at = by_step(acts)
        pilots = [act.step for act in acts if act.by == "pilot"]
        is_whole = len(pilots) == len(acts)
        asked_from = 0 if is_whole else min(pilots, default=steps)
        while self.row.step < steps and not self.is_over:
            due = due_at.get(self.row.step, [])
            if not due and self._prompter is not None and self.row.step >= asked_from:
                while self._prompter.must_wait(self.row) and self._prompter.skip(self.row):
                    pass
            self._step(due)
        self._on_beat = on_beat


def _prepared(acts: Sequence[Act]) -> int:
    """The first step without an act: up to there the flight was set up, an act a step."""
    step = 0
    for act in acts:
        if act.step > step:
            break
        step = act.step + 1
    return step
