"""Levers, selectors and the checklist in hand: what hands have set, and what they may not.

Applies acts that are not mode buttons and says what came of them. The rule that surprises: a
refused act changes nothing but is a fact all the same.
"""

from __future__ import annotations

from trainer.flight.acts import Act, Fact
from trainer.flight.row import lever_field
from trainer.flight.surroundings import route_of
from trainer.guidance.modes import Selectors
from trainer.scenario.controls import CONTROLS
from trainer.scenario.exercise import Checklist, Exercise

_SELECTOR_FIELDS = {
    "speed": "speed_kt",
    "heading": "heading_deg",
    "altitude": "altitude_ft",
    "vertical speed": "vertical_speed_fpm",
    "course": "course_deg",
    "frequency": "frequency",
    "altimeter": "altimeter_hpa",
    "minimums": "minimums_ft",
    "final speed": "final_speed_kt",
    "direct to": "direct_to",
    "torque": "torque_percent",
}


OPTIONAL = (
    "torque", "propellers", "ice protection", "speedbrake", "spoilers", "autobrake",
)  # fmt: skip
"""Controls that would seem to work where nothing stands behind them."""


class Cockpit:
    """The state of everything that hands move. Levers: flap stage index, others by position.

    `fixes`: the coded fixes from the start on, as a direct-to counts them. `checklist`: name of the
    one being read, `challenge`: what waits for an answer in it; "" without one.
    """

    def __init__(self, exercise: Exercise) -> None:
        start = exercise.start
        is_set_up = start.lateral == "LOC"
        localizer = exercise.approach.localizer
        self.aircraft = exercise.aircraft
        self.flap_lever = exercise.aircraft.stage_index(start.flaps)
        self.gear_lever = start.gear
        self.speedbrake_lever = "in"
        self.spoilers = "disarmed"
        self.autobrake = "off"
        self.reverse = "stowed"
        settings = exercise.aircraft.propeller
        self.propellers = settings.initial if settings is not None else ""
        self.ice_protection = "off"
        self.selectors = Selectors(
            speed_kt=start.speed_kt,
            heading_deg=start.heading_deg,
            altitude_ft=start.selected_altitude_ft,
            vertical_speed_fpm=0.0,
            course_deg=localizer.course_deg if is_set_up else 0.0,
            frequency=localizer.frequency if is_set_up else "",
            altimeter_hpa=start.altimeter_hpa,
            minimums_ft=0.0,
            final_speed_kt=0.0,
        )
        self.fixes = tuple(point.name for point in route_of(exercise).points[1:])
        self._checklists = {checklist.name: checklist for checklist in exercise.flow.checklists}
        self._turn_to(None, 0)

    def _turn_to(self, checklist: Checklist | None, line: int) -> None:
        self._open, self._line = checklist, line
        self.checklist = "" if checklist is None else checklist.name
        self.challenge = "" if checklist is None else checklist.lines[line].challenge

    def move(self, act: Act, is_on_ground: bool) -> Fact:
        """Move a lever to a position. Refused: no such position, or unsafe by interlock."""
        control, position = act.control, act.value
        refusal = self._missing(control)
        if refusal:
            pass
        elif control == "flaps":
            names = [stage.name for stage in self.aircraft.flaps]
            if position in names:
                self.flap_lever = names.index(position)
            else:
                refusal = f"there is no flap {position}; stages are {', '.join(names)}"
        elif control not in CONTROLS or CONTROLS[control].kind != "lever":
            refusal = f"there is no lever {control}"
        elif position not in CONTROLS[control].positions:
            refusal = f"{control} has no position {position}"
        elif control == "gear" and position == "up" and is_on_ground:
            refusal = "gear lever locked on the ground"
        elif control == "reverse" and position == "selected" and not is_on_ground:
            refusal = "reverse locked in the air"
        else:
            setattr(self, lever_field(control), position)
        if refusal:
            return Fact(act.step, "refused", control, position, reason=refusal)
        return Fact(act.step, "acted", control, position)

    def set(self, act: Act) -> Fact:
        """Turn a selector to a value. Refused: not a number, or outside the bounds."""
        control, text = act.control, act.value
        if refusal := self._missing(control):
            return Fact(act.step, "refused", control, text, reason=refusal)
        known = CONTROLS.get(control)
        if known is None or known.kind != "selector":
            return Fact(act.step, "refused", control, text, reason=f"there is no knob {control}")
        try:
            value = float(text)
        except ValueError:
            return Fact(act.step, "refused", control, text, reason=f"{text} is not a number")
        if not known.low <= value <= known.high:
            reason = f"{control} takes {known.low:g} to {known.high:g} {known.unit}"
            return Fact(act.step, "refused", control, text, reason=reason)
        if control == "direct to" and not (value.is_integer() and value <= len(self.fixes)):
            known_fixes = ", ".join(f"{at} {name}" for at, name in enumerate(self.fixes, 1))
            reason = f"there is no fix {value:g} on the legs; they are {known_fixes}"
            return Fact(act.step, "refused", control, text, reason=reason)
        field = _SELECTOR_FIELDS[control]
        if control in ("heading", "course"):
            value %= 360.0
        before = getattr(self.selectors, field)
        if control == "frequency":
            self.selectors = self.selectors._replace(frequency=f"{value:.2f}")
            return Fact(act.step, "acted", control, text, before=before)
        # A field chosen by name: the table above is the proof that it holds a number.
        self.selectors = self.selectors._replace(**{field: value})  # type: ignore[arg-type]
        return Fact(act.step, "acted", control, text, before=f"{before:g}")

    def _missing(self, control: str) -> str:
        """Why a control that not every type has does nothing here; "" where it is fitted."""
        if control in OPTIONAL and control not in self.aircraft.controls:
            return f"this type has no {control}"
        return ""

    def begin_checklist(self, act: Act) -> Fact:
        """Take up a checklist, from its first line."""
        checklist = self._checklists.get(act.control)
        if checklist is None:
            reason = f"there is no {act.control} checklist"
            return Fact(act.step, "refused", "checklist", act.control, reason=reason)
        self._turn_to(checklist, 0)
        return Fact(act.step, "checklist", act.control)

    def answer(self, act: Act) -> Fact:
        """Answer the open line and go on to the next."""
        if self._open is None:
            return Fact(act.step, "refused", "checklist", reason="no checklist is being read")
        fact = Fact(act.step, "line", self.checklist, self.challenge)
        is_done = self._line + 1 == len(self._open.lines)
        self._turn_to(None if is_done else self._open, 0 if is_done else self._line + 1)
        return fact
