"""Deviation calls: what is called when speed, sink, path or bank leave the house's call thresholds.

Owns when a call becomes due; the thresholds are the house's, and the limits at which a gate sends
an approach around stand in the flow. Surprising rules: a deviation that shrinks, or that is back
inside before the call is due, asks for nothing: correcting in time is better than calling; and a
call that comes up in the middle of another sentence waits for the end of that.
"""

from __future__ import annotations

from collections.abc import Callable

from trainer.flight.row import Row
from trainer.judge.board import Board
from trainer.judge.tracks import Track, track_of
from trainer.scenario.exercise import Act, Exercise, Item
from trainer.scenario.moments import Happened
from trainer.units import steps_for
from trainer.values import dataclass

BEYOND = steps_for(3.0)
"""A deviation must have lasted this long."""
COVERED = steps_for(15.0)
"""One call covers its parameter for this long (common practice)."""
SETTLED = steps_for(10.0)
"""Time after a capture in which the needle may still swing (our figure)."""
TREND = steps_for(1.0)
"""A deviation that is smaller than this long ago is shrinking."""
PHASES = ("final", "minimums")
URGENCY = 0
"""Limits and deviations come before everything else."""


@dataclass(frozen=True, slots=True)
class Parameter:
    """One parameter: the call for it, its excess over the target, and what is called of it.

    axis: "" where the call is due only below the main gate, else the axis that must have captured.
    """

    intent: str
    read: Callable[[Row, Exercise], float | None]
    axis: str = ""


PARAMETERS: dict[str, Parameter] = {
    "speed above": Parameter("speed", lambda row, exercise: _above_final_kt(row, exercise)),
    "speed below": Parameter("speed", lambda row, exercise: -_above_final_kt(row, exercise)),
    "sink rate": Parameter("sink rate", lambda row, _: -row.vertical_speed_fpm),
    "localizer": Parameter("localizer", lambda row, _: _size(row.localizer_dots), "LOC"),
    "glideslope": Parameter("glide", lambda row, _: _size(row.glide_dots), "GLIDE"),
    "bank": Parameter("bank", lambda row, _: abs(row.bank_deg)),
    "track": Parameter("track", lambda row, _: _size(row.track_dots), "NAV"),
    "path": Parameter("path", lambda row, _: _off_rnp_path_ft(row), "PATH"),
}
"""Parameters by the name of their threshold in the house file."""


def _above_final_kt(row: Row, exercise: Exercise) -> float:
    return row.cas_kt - exercise.speeds_at(row.is_icing).final_kt


def _off_rnp_path_ft(row: Row) -> float | None:
    return None if row.track == "none" else abs(row.path_error_ft)


def _size(dots: float | None) -> float | None:
    return None if dots is None else abs(dots)


class Deviations:
    """Follows each parameter of one flight and opens a call where one becomes due."""

    def __init__(self, board: Board) -> None:
        self._board = board
        exercise = board.exercise
        spoken = {intent for intent, _ in exercise.house.words}
        self._limits = [
            (name, limit, PARAMETERS[name])
            for name, limit in exercise.house.limits
            if PARAMETERS[name].intent in spoken and exercise.flow.pilots > 1
        ]
        self._gate_ft = max(
            (gate.height_ft for gate in exercise.flow.gates if gate.is_main), default=0.0
        )
        self._beyond: dict[str, list[float]] = {name: [] for name, _, _ in self._limits}
        self._said: dict[str, int] = {}
        self._open: dict[str, Track] = {}
        self._captured: dict[str, int] = {}
        self._counts: dict[str, int] = {}
        self._sentence = (0, 0)

    def take_sentence(self, begun: int, ended: int) -> None:
        """Something was said from step `begun` to `ended`: what came up meanwhile waits for it."""
        self._sentence = (begun, ended)
        for track in self._open.values():
            self._wait(track)

    def _wait(self, track: Track) -> None:
        begun, ended = self._sentence
        assert track.opened is not None
        if begun <= track.opened < ended:
            track.due += ended - track.opened
            track.closes += ended - track.opened

    def look(self, row: Row) -> None:
        """Open, and take back, deviation calls at `row`."""
        happenings = self._board.evaluator.context.happenings
        for _, _, parameter in self._limits:
            if ("said", parameter.intent, "") in happenings:
                self._said[parameter.intent] = row.step
        if row.phase not in PHASES:
            return
        for axis in ("LOC", "NAV", "GLIDE", "PATH"):
            if axis in row.modes[:2]:
                self._captured.setdefault(axis, row.step)
            else:
                self._captured.pop(axis, None)
        for name, limit, parameter in self._limits:
            value = parameter.read(row, self._board.exercise)
            history = self._beyond[name]
            if value is None or value <= limit or not self._counts_now(parameter, row):
                history.clear()
                self._take_back(name, row.step)
                continue
            history.append(value)
            if len(history) <= BEYOND or value < history[-1 - TREND]:
                continue
            self._ask(name, parameter, row.step)

    def _counts_now(self, parameter: Parameter, row: Row) -> bool:
        if not parameter.axis:
            return row.height_ft < self._gate_ft
        captured = self._captured.get(parameter.axis)
        return captured is not None and row.step - captured >= SETTLED

    def _take_back(self, name: str, step: int) -> None:
        track = self._open.pop(name, None)
        if track is not None and step < track.due:
            track.is_void = True

    def _ask(self, name: str, parameter: Parameter, step: int) -> None:
        said = self._said.get(parameter.intent)
        if said is not None and step - said <= COVERED:
            return
        before = self._open.get(name)
        if before is not None and step - (before.opened or 0) <= COVERED:
            return
        if any(
            one.is_open and one.item.act.intent == parameter.intent for one in self._open.values()
        ):
            return
        track = track_of(_item(parameter.intent), len(self._board.tracks), self._board.evaluator)
        count = self._counts[parameter.intent] = self._counts.get(parameter.intent, 0) + 1
        track.name = f"{track.name} {count}"
        track.urgency = URGENCY
        track.open_at(step)
        self._wait(track)
        self._board.tracks.append(track)
        self._board.live.append(track)
        self._open[name] = track


def _item(intent: str) -> Item:
    name = f"deviation call: {intent}"
    return Item(
        name=name,
        act=Act("say", intent=intent),
        role="monitoring",
        # It recurs; what opens it is the deviation, not a moment of the grammar.
        each=Happened("deviation", intent),
        # Nothing that can wait is begun before it: a crew in the middle of a long call is late.
        aim=0.0,
        due=5.0,
        closes=12.0,
        area="awareness",
        why="A deviation that nobody calls has two pilots looking elsewhere.",
        source="FSF 7.1; thresholds of the house",
    )
