"""Hands: is this the control and value that an item expects, and is it already so?

Judged by effect: a button counts as pressed while what it asks for is shown. Tolerances are those
published for each kind of selector; a final approach speed may carry any legal additive.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from trainer.flight import acts
from trainer.flight.acts import Fact
from trainer.flight.moments import Evaluator
from trainer.flight.row import Row, lever_field
from trainer.flight.shown import SUBJECTS
from trainer.judge.torque import TorqueByHeart
from trainer.scenario.controls import CONTROLS
from trainer.scenario.exercise import Act, Exercise
from trainer.scenario.vocabulary.words import OTHER_COURSE
from trainer.units import DEG, FPM, KT, wrap_deg

ADDITIVE_MAX_KT = 20.0
"""Most that a final approach speed may stand above the reference speed (common practice)."""

STANDING_MOST_KT = 10.0
"""Most above the final approach speed at which the gates of the flows pass (common practice)."""

TORQUE = "torque for the speed"
"""The named value of a torque that is judged by what it does to the speed."""

DESCENDING_FPM = 300.0
"""Sink from which on the aircraft counts as descending on its path, ft/min."""
RATE_CHANGE_FPM = 200.0
"""Most by which the rate of a path differs from the path's own, ft/min (common practice)."""
CAPTURE_WITHIN_FT = 1000.0
"""Most that a level in altitude capture may still be away, ft."""

_SHOWN: dict[str, Callable[[Row], bool]] = {
    "heading mode": lambda row: row.modes.lateral == "HDG",
    "nav mode": lambda row: row.modes.lateral == "NAV" or "NAV" in row.modes.lateral_armed,
    # Localizer mode asks for the localizer *only*: it takes an armed approach away.
    "localizer mode": lambda row: (
        (_is_localizer(row) and not _is_descending(row))
        or "VOR" in (row.modes.lateral, *row.modes.lateral_armed)
    ),
    "approach mode": lambda row: (_is_localizer(row) and _is_glide(row)) or _is_rnp_final(row),
    "path mode": lambda row: "PATH" in (row.modes.vertical, *row.modes.vertical_armed),
    "altitude hold": lambda row: row.modes.vertical == "ALT",
    "vertical speed mode": lambda row: row.modes.vertical == "VS",
    "climb mode": lambda row: row.modes.vertical == "CLIMB" or _is_levelling_off(row),
    "descend mode": lambda row: row.modes.vertical == "DESCEND" or _is_levelling_off(row),
    "speed mode": lambda row: row.modes.thrust == "SPEED",
    "autothrust off": lambda row: row.modes.thrust == "OFF",
    "autopilot": lambda row: row.modes.engagement.startswith("AP"),
    "second autopilot": lambda row: row.modes.engagement == "AP BOTH",
    "autopilot off": lambda row: not row.modes.engagement.startswith("AP"),
    "go-around": lambda row: row.modes.vertical == "GA" or row.modes.thrust == "GA",
    # Whose ident it is, is for the call that follows to say.
    "identify": lambda row: row.identified != "",
}

_TOGGLES = ("flight director",)
"""Buttons of which either half may be wanted: only the press itself counts."""


def _is_localizer(row: Row) -> bool:
    return "LOC" in row.modes.lateral_armed or row.modes.lateral in ("LOC", "ALIGN", "ROLLOUT")


def _is_glide(row: Row) -> bool:
    return "GLIDE" in row.modes.vertical_armed or row.modes.vertical in ("GLIDE", "FLARE")


def _is_rnp_final(row: Row) -> bool:
    is_path = "PATH" in (row.modes.vertical, *row.modes.vertical_armed)
    return row.track != "none" and is_path


def _is_descending(row: Row) -> bool:
    return bool(row.modes.vertical_armed) or row.modes.vertical in ("GLIDE", "PATH", "FLARE")


def _is_levelling_off(row: Row) -> bool:
    """In altitude capture, and of the level that is selected: a capture may keep an older one.

    No capture begins further out than 1,000 ft (that would take 3,400 ft/min).
    """
    return (
        row.modes.vertical == "ALT CAP"
        and abs(row.selectors.altitude_ft - row.altitude_ft) < CAPTURE_WITHIN_FT
    )


class Hands:
    """Matches acts of hands against expected acts of one exercise."""

    def __init__(self, exercise: Exercise, evaluator: Evaluator) -> None:
        self._exercise = exercise
        self._fixed = exercise.figures()
        self._context = evaluator.context
        self._assigned = evaluator.context.assigned
        self._torque = TorqueByHeart(exercise)
        self._is_course_split = False

    def take(self, facts: Sequence[Fact]) -> None:
        """Note whether the course of the other side is turned away; no row shows it."""
        for fact in facts:
            if fact.kind == "fault" and fact.name == OTHER_COURSE:
                self._is_course_split = True
            elif fact.kind == "acted" and fact.name == "course":
                self._is_course_split = False

    def value(self, expected: Act) -> float | None:
        """The value a `set` asks for, in the control's unit; None while nothing is assigned."""
        figure = expected.figure
        assert figure is not None
        if not figure.name:
            return figure.value
        if figure.name == "descent rate":
            return self._descent_rate_fpm() + figure.value
        if figure.name == TORQUE:
            return self._torque.set_percent(self._context.row)
        base = self._fixed.get(figure.name, self._assigned.get(figure.name))
        return None if base is None else base + figure.value

    def _descent_rate_fpm(self) -> float:
        """The rate (ft/min, negative) that follows the published path now, to the next 50.

        Ground speed times the tangent of the path; once descending, what brings the aircraft back
        to it within a mile is added, at most 200 ft/min (common practice).
        """
        row = self._context.row
        slope = math.tan(self._exercise.approach.glideslope.angle_deg * DEG)
        speed_kt = max(row.ground_speed_kt, 60.0)
        back_fpm = 0.0
        if row.vertical_speed_fpm < -DESCENDING_FPM:
            back_fpm = row.path_error_ft * speed_kt / 60.0
        back_fpm = max(-RATE_CHANGE_FPM, min(RATE_CHANGE_FPM, back_fpm))
        return -50.0 * round((speed_kt * KT * slope / FPM + back_fpm) / 50.0)

    def is_value(self, expected: Act, value: float) -> bool:
        """Whether `value` is what a `set` asks for, within the published tolerance."""
        if expected.figure is not None and expected.figure.name == TORQUE:
            return self._torque.brings(self._context.row, value)
        wanted = self.value(expected)
        if wanted is None:
            return False
        control = expected.control
        tolerance = CONTROLS[control].tolerance
        if control == "minimums":
            return wanted <= value <= wanted + tolerance + 1.0
        if control == "frequency":
            return abs(value - wanted) < 0.004
        if control in ("heading", "course"):
            return abs(wrap_deg(value - wanted)) <= tolerance + 0.5
        assert expected.figure is not None
        if expected.figure.name == "final approach speed":
            highest = self._assigned["reference speed"] + ADDITIVE_MAX_KT + tolerance
            return wanted - tolerance <= value <= max(highest, wanted + tolerance)
        return abs(value - wanted) <= tolerance + 0.5

    def _is_standing(self, expected: Act, value: float) -> bool:
        """Whether a selector that nobody turned stands where a `set` wants it.

        A chosen final speed may be any up to the largest additive; one left over from before is
        none unless the gate would take it for one.
        """
        figure = expected.figure
        assert figure is not None
        if figure.name == "final approach speed":
            wanted = self.value(expected)
            if wanted is None or value > wanted + STANDING_MOST_KT:
                return False
        return self.is_value(expected, value)

    def matches(self, expected: Act, act: acts.Act) -> bool:
        """Whether an act on the right control has the right value."""
        if expected.kind == "set":
            return self.is_value(expected, float(act.value))
        return expected.position in ("", act.value)

    def has_effect(self, expected: Act, after: Row) -> bool:
        """Whether a button did what it was pressed for: a second press may undo the first."""
        return expected.control not in _SHOWN or _SHOWN[expected.control](after)

    def holds(self, expected: Act, row: Row) -> bool:
        """Whether what `expected` asks for is already so at `row`."""
        control = expected.control
        if control == "course" and self._is_course_split:
            return False
        if expected.kind == "set":
            value = SUBJECTS[f"selected {control}"](row)
            return value is not None and self._is_standing(expected, value)
        if control in _SHOWN:
            return _SHOWN[control](row)
        if control in _TOGGLES:
            return False
        if control == "flaps":
            return self._exercise.aircraft.stage_index(expected.position) == row.flap_lever
        return bool(getattr(row, lever_field(control)) == expected.position)

    def is_on_the_way(self, expected: Act, act: acts.Act, row: Row) -> bool:
        """Whether a flap selection lies between where the lever stood and what is expected."""
        if expected.control != "flaps":
            return False
        aircraft = self._exercise.aircraft
        target = aircraft.stage_index(expected.position)
        chosen = aircraft.stage_index(act.value)
        low, high = sorted((row.flap_lever, target))
        return low <= chosen <= high
