"""One deterministic flight: acts in, rows and facts out, 0.1 s at a time.

Owns the order inside a step: acts of this step, events whose moment has come, guidance,
integration, phase, next row. Knows no item, no verdict and no clock: whoever calls `step` decides
how fast time runs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from trainer.flight.acts import Act, Fact
from trainer.flight.cockpit import Cockpit
from trainer.flight.compact import CompactRows
from trainer.flight.ending import GEAR_UP, HARD, OFF_RUNWAY, Ending
from trainer.flight.hand_flying import SimplifiedHand
from trainer.flight.instruments import Instruments
from trainer.flight.levers import is_torque_set_by_hand
from trainer.flight.moments import Evaluator
from trainer.flight.navigation import Navigation
from trainer.flight.observers import Observer
from trainer.flight.outlook import Outlook
from trainer.flight.outside import Outside
from trainer.flight.passing import Passing
from trainer.flight.phases import Phases
from trainer.flight.radios import Radios
from trainer.flight.row import Row
from trainer.flight.surroundings import surroundings_of
from trainer.flight.thrust import ThrustLaws
from trainer.flight.unsteady import UnsteadyAir
from trainer.guidance.guidance import Guidance
from trainer.guidance.modes import Command, ModeChange, Modes, Protection, Refusal
from trainer.scenario.exercise import Event, Exercise, Fault, Start
from trainer.scenario.phrases import PhraseBook
from trainer.units import DEG, FT, KT
from trainer.world.air import tas_from_cas
from trainer.world.aircraft import AircraftType
from trainer.world.ground import (
    Roll,
    RollCommand,
    Runway,
    advance_on_ground,
    lifted_off,
    touched_down,
)
from trainer.world.motion import State

HARD_SINK_MS = 16.0 * FT
"""Sink at ground contact that counts as an impact rather than a landing (from memory)."""
LIFT_OFF_SHARE = 1.1 / 1.23
"""Speed for leaving the ground again, of the reference speed: 1.1 and 1.23 of the stall speed
(CS-25.107 with all engines, CS-25.125)."""
PAVEMENT_HALF_M = 30.0
"""Half width of the strip in which ground contact is a landing, m."""


class Flight:
    """A flight of a drawn exercise.

    `row` is the newest row, `rows` all of them (kept where `rows` says, else in a list), `facts`
    everything that happened, `acts` everything done.
    """

    def __init__(
        self, exercise: Exercise, book: PhraseBook, rows: CompactRows | None = None
    ) -> None:
        self.exercise = exercise
        self.around = surroundings_of(exercise)
        self.cockpit = Cockpit(exercise)
        self.radios = Radios(self.around, exercise.aircraft.guidance.ident)
        self.navigation = Navigation(exercise)
        self.outlook = Outlook(exercise, self.around)
        self.phases = Phases(exercise)
        self.passing = Passing(exercise)
        self.ending = Ending(exercise.approach.missed_altitude_ft)
        self.rows: list[Row] | CompactRows = [] if rows is None else rows
        self.facts: list[Fact] = []
        self.acts: list[Act] = []
        self.is_over = False
        self.reason = ""
        self._fresh: list[Fact] = []
        self._lift_off_kt = LIFT_OFF_SHARE * exercise.reference_kt
        self._unsteady = UnsteadyAir(exercise, self.around.elevation_m)
        self._phase = "arrival"
        self._margin_nm: float | None = None
        self._is_on_ground = False
        self._roll = Roll()
        self._runway = Runway(
            self.around.final_course_rad,
            0.0,
            0.0,
            self.around.elevation_m,
            exercise.weather.runway == "wet",
        )
        self._state = self._starting_state()
        self._thrust = ThrustLaws(self.around)
        self._hand = SimplifiedHand(exercise, self.around, self._state.power)
        if exercise.start.lateral == "LOC":
            self.radios.set_up(exercise.approach.localizer)
        self.guidance = Guidance(
            exercise.aircraft,
            exercise.start.mass_t,
            self.around.route,
            _starting_modes(exercise.start, exercise.aircraft),
            self._thrust,
            self.around.coding,
        )
        self._outside = Outside(exercise)
        self.instruments = Instruments(
            exercise,
            self.around,
            self.cockpit,
            self.radios,
            self.navigation,
            self._unsteady,
            self._thrust,
            self.guidance,
            self._outside,
        )
        self._sensed = self.instruments.sensed
        self._watcher = Evaluator(exercise, book)
        self._pending: list[tuple[Event, Observer]] = [
            (event, self._watcher.watch(event.when)) for event in exercise.events
        ]
        self.row = self._look(0)
        self.rows.append(self.row)
        self._watcher.observe(self.row, ())

    def step(self, acts: Sequence[Act] = ()) -> tuple[Row, list[Fact]]:
        """Fly one step with `acts`; returns the new row and the facts of this step."""
        assert not self.is_over, "the flight has ended"
        self._fresh = []
        step = self.row.step
        for act in acts:
            self.acts.append(act)
            self._act(act)
        self._fire_events(step)
        for change in self.guidance.update(self._sensed, self.cockpit.selectors):
            self._note(change)
        protection = self.guidance.protect(self._sensed, self.cockpit.selectors)
        if protection is not None:
            self._note(protection)
        self._move()
        self.row = self._look(step + 1)
        self.rows.append(self.row)
        for name in self.passing.passed(self.row):
            self._fresh.append(Fact(step, "passed", name))
        self._watcher.observe(self.row, self._fresh)
        self.reason = self.ending.reason(self.row, self._watcher)
        if self.reason:
            self.is_over = True
            self._fresh.append(Fact(step, "end", self.reason))
        self.facts += self._fresh
        return self.row, self._fresh

    # Acts ---------------------------------------------------------------------------------------

    def _act(self, act: Act) -> None:
        add = self._fresh.append
        match act.act:
            case "press":
                self._press(act)
            case "move":
                fact = self.cockpit.move(act, self.row.is_on_ground)
                add(fact)
                if fact.kind == "acted":
                    self._lever_moved(act)
            case "set":
                fact = self._locked(act) or self.cockpit.set(act)
                add(fact)
                if fact.kind == "acted":
                    self._selector_turned(act.control)
            case "say" | "read back":
                add(spoken_fact(act))
            case "checklist":
                add(self.cockpit.begin_checklist(act))
            case "line":
                add(self.cockpit.answer(act))
            case "brief":
                add(Fact(act.step, "briefed", act.control, act.value))
            case _:
                raise RuntimeError(f"unknown act {act.act}")

    def _press(self, act: Act) -> None:
        if act.control == "identify":
            self._fresh.append(Fact(act.step, "acted", "identify"))
            self._fresh.append(Fact(act.step, "heard", self.radios.identify(act.step)))
            return
        was_on = self.guidance.is_flight_director_on
        outcomes = self.guidance.press(act.control, self._sensed, self.cockpit.selectors)
        refused = [one for one in outcomes if isinstance(one, Refusal)]
        if len(refused) < max(len(outcomes), 1):
            self._fresh.append(Fact(act.step, "acted", act.control))
        for outcome in outcomes:
            self._note(outcome)
        is_on = self.guidance.is_flight_director_on
        if is_on != was_on:
            self._fresh.append(Fact(act.step, "director", "on" if is_on else "off"))

    def _lever_moved(self, act: Act) -> None:
        if (act.control, act.value) == ("reverse", "selected"):
            self.guidance.reverse_selected()
        if act.control == "propellers":
            airframe = self.around.airframe.with_propeller(act.value)
            self.around = replace(self.around, airframe=airframe)
            self._thrust.take(self.around)

    def _locked(self, act: Act) -> Fact | None:
        """The refusal of a new frequency where the type locks its receivers on a localizer."""
        is_lock = self.exercise.aircraft.guidance.is_retune_inhibited
        is_on = self.guidance.modes.lateral in ("LOC", "ALIGN", "ROLLOUT")
        if act.control != "frequency" or not (is_lock and is_on):
            return None
        reason = "receivers are locked on a captured localizer"
        return Fact(act.step, "refused", act.control, act.value, reason=reason)

    def _selector_turned(self, control: str) -> None:
        if control == "frequency":
            self.radios.tune(self.cockpit.selectors.frequency)
        selectors = self.cockpit.selectors
        if control == "direct to":
            name = self.cockpit.fixes[round(selectors.direct_to) - 1]
            self._fresh.append(Fact(self.row.step, "direct", name))
        for change in self.guidance.selector_changed(control, self._sensed, selectors):
            self._note(change)

    def _note(self, outcome: ModeChange | Protection | Refusal) -> None:
        step = self.row.step
        if isinstance(outcome, Protection):
            flown, asked = f"{outcome.flown_kt:.0f}", f"{outcome.asked_kt:.0f}"
            self._fresh.append(Fact(step, "protected", "speed", flown, asked, outcome.reason))
            return
        if isinstance(outcome, Refusal):
            self._fresh.append(Fact(step, "refused", outcome.control, reason=outcome.reason))
            return
        tag = "commanded" if outcome.is_commanded else "automatic"
        self._fresh.append(
            Fact(step, "mode", outcome.column, outcome.after, outcome.before, outcome.reason, tag)
        )

    def _fire_events(self, step: int) -> None:
        for pair in tuple(self._pending):
            event, observer = pair
            if not observer.now:
                continue
            self._pending.remove(pair)
            self._fresh.append(Fact(step, "event", event.name, event.atc))
            if event.grants:
                self._fresh.append(Fact(step, "granted", event.grants, event.name))
                if event.grants == "discontinue":
                    self.phases.call_off(self.row)
            if event.fault is not None:
                self._fail(event.fault, step)
            if event.shear is not None:
                self._unsteady.begin(event.shear, step)
            if event.weather is not None:
                self._outside.change(event.weather)

    def _fail(self, fault: Fault, step: int) -> None:
        self._fresh.append(Fact(step, "fault", fault.signal or fault.system, fault.becomes))
        if fault.signal == "position":
            self.navigation.fail(fault)
        else:
            self.radios.fail(fault, step)
        if fault.system:
            changes = self.guidance.fail(fault.system, self._sensed, self.cockpit.selectors)
            for change in changes:
                self._note(change)

    # Motion -------------------------------------------------------------------------------------

    def _starting_state(self) -> State:
        start, around = self.exercise.start, self.around
        height_m = around.air.height_at_indicated_m(start.altitude_ft, start.altimeter_hpa)
        air = around.air.state(height_m)
        tas_ms = tas_from_cas(start.speed_kt * KT, air)
        performance = around.airframe.performance
        flap = float(self.cockpit.flap_lever)
        gear = 1.0 if start.gear == "down" else 0.0
        is_descending = start.vertical in ("PATH", "GLIDE")
        slope = math.tan(self.exercise.approach.glideslope.angle_deg * DEG)
        climb_ms = -tas_ms * slope if is_descending else 0.0
        drag_n = performance.drag_n(air, tas_ms, 1.0, flap, gear, 0.0)
        power = performance.holding_power(air, tas_ms, climb_ms, drag_n)
        if is_torque_set_by_hand(self.exercise.aircraft):
            # The levers stand at a whole number of percent, as they are set later on.
            torque_percent = round(100.0 * power)
            self.cockpit.selectors = self.cockpit.selectors._replace(torque_percent=torque_percent)
            power = torque_percent / 100.0
        return State(
            x_m=start.x_m,
            y_m=start.y_m,
            height_m=height_m,
            tas_ms=tas_ms,
            heading_rad=self._starting_heading_rad(tas_ms, height_m),
            bank_rad=0.0,
            climb_ms=climb_ms,
            power=power,
            flap=flap,
            gear=gear,
            speedbrake=0.0,
            flown_m=0.0,
        )

    def _starting_heading_rad(self, tas_ms: float, height_m: float) -> float:
        """The heading that is written; on the localizer the one that holds it as a track."""
        heading_rad = self.exercise.start.heading_deg * DEG % (2.0 * math.pi)
        if self.exercise.start.lateral != "LOC":
            return heading_rad
        east_ms, north_ms, _, _ = self.around.wind.sample(height_m)
        across_ms = east_ms * math.cos(heading_rad) - north_ms * math.sin(heading_rad)
        return (heading_rad - math.asin(across_ms / tas_ms)) % (2.0 * math.pi)

    def _move(self) -> None:
        if self._is_on_ground:
            self._roll_on()
            return
        cockpit = self.cockpit
        bank_rad, climb_ms, power = self._commanded()
        self._state = self.around.airframe.advance(
            self._state,
            bank_rad,
            climb_ms,
            power,
            float(cockpit.flap_lever),
            1.0 if cockpit.gear_lever == "down" else 0.0,
            1.0 if cockpit.speedbrake_lever == "out" else 0.0,
        )
        if not self._unsteady.is_calm:
            self._state = self._unsteady.carried(self._state, self.row.step + 1)
        self._touch()

    def _commanded(self) -> Command:
        """What guidance asks for, as the hand flies it."""
        command = self.guidance.command(self._sensed, self.cockpit.selectors)
        return self._hand.command(self.row, self._state, command, self.cockpit, self._thrust.air)

    def _touch(self) -> None:
        state = self._state
        if state.height_m > self.around.elevation_m:
            return
        beam = self.around.localizer
        along_m = -beam.final_distance_m(state.x_m, state.y_m)
        offset_m = beam.localizer_offset_m(state.x_m, state.y_m)
        step = self.row.step
        length_m = self.exercise.approach.runway.length_m
        if not 0.0 <= along_m <= length_m or abs(offset_m) > PAVEMENT_HALF_M:
            self.ending.strike(OFF_RUNWAY)
            return
        if state.gear < 1.0:
            self.ending.strike(GEAR_UP)
            return
        if state.climb_ms < -HARD_SINK_MS:
            self.ending.strike(HARD)
            return
        self._fresh.append(Fact(step, "touchdown", f"{along_m:.0f}", f"{-state.climb_ms / FT:.1f}"))
        self._is_on_ground = True
        self._unsteady.end()
        self._state = touched_down(self.around.airframe, state, self._runway)

    def _roll_on(self) -> None:
        cockpit = self.cockpit
        around = self.around
        power = 0.0
        if self.guidance.modes.vertical == "GA":
            command = self._commanded()
            power = command.power
            if command.climb_ms > 0.0 and self.row.cas_kt > self._lift_off_kt:
                self._is_on_ground, self._roll = False, Roll()
                self._state = lifted_off(around.airframe, self._state)
                return
        autobrake = "" if cockpit.autobrake == "off" else cockpit.autobrake
        levels = [name for name, _ in self.exercise.aircraft.roll.autobrake_ms2]
        roll = RollCommand(
            # With the autobrake off the simplified hand brakes as gently as the lowest level.
            autobrake=autobrake or (levels[0] if levels else ""),
            is_braking=not levels,
            is_reverse=cockpit.reverse == "selected",
            are_spoilers_armed=cockpit.spoilers == "armed",
            power=power,
        )
        self._state, self._roll = advance_on_ground(
            around.airframe, self._state, self._roll, self._runway, roll
        )

    def _look(self, step: int) -> Row:
        """The row of `step`, with the phase and the margin that follow from it."""
        row = self.instruments.look(
            step, self._state, self._is_on_ground, self._phase, self._margin_nm
        )
        phase = self.phases.next(row)
        margin_nm = self.outlook.margin_nm(row, phase)
        if phase != self._phase:
            self._fresh.append(Fact(max(step - 1, 0), "phase", phase))
        elif margin_nm == self._margin_nm:
            return row
        self._phase, self._margin_nm = phase, margin_nm
        return row._replace(phase=phase, margin_nm=margin_nm)


def _starting_modes(start: Start, aircraft: AircraftType) -> Modes:
    """The annunciator at the start: autopilot and autothrust as far as the type has them."""
    armed = (start.armed,) if start.armed else ()
    options = aircraft.guidance
    few = options.autopilot_modes
    is_flown = not few or (start.lateral in few and start.vertical in few and not armed)
    engagement = "AP" if options.autopilots > 0 and is_flown else "FD"
    thrust = "OFF" if aircraft.autothrust is None else "SPEED"
    return Modes(start.lateral, start.vertical, (), armed, thrust, engagement, "")


def spoken_fact(act: Act) -> Fact:
    """The fact of a call or a read-back: what was said, and to which clearance."""
    kind = "said" if act.act == "say" else "read back"
    return Fact(act.step, kind, act.control, act.text)
