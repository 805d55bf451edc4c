"""The simplified hand: what a pilot does where no automatic does it.

A keyboard has no stick: with the autopilot off the hand follows the guidance commands, flares by
the flare law of the type and closes the thrust; where no autothrust holds the thrust it sets power
in steps, unless the pilot sets torque. Owns nothing of the aircraft but where its own lever stands.
"""

from __future__ import annotations

from trainer.flight.cockpit import Cockpit
from trainer.flight.levers import PowerLevers, is_torque_set_by_hand
from trainer.flight.row import Row
from trainer.flight.surroundings import Surroundings
from trainer.guidance.modes import Command
from trainer.scenario.exercise import Exercise
from trainer.units import FT, KT
from trainer.world.air import AirState
from trainer.world.hand import Hand, Seen
from trainer.world.motion import State, flare_climb_ms

FLARES_WITHIN_NM = 1.0
"""Distance to the threshold within which low height means a landing, NM."""

_FIXED_POWER = {"GA": 1.0, "CLIMB": 1.0, "DESCEND": 0.0}
"""Power of the modes in which pitch holds the speed."""


class SimplifiedHand:
    """The hand during one flight."""

    def __init__(self, exercise: Exercise, around: Surroundings, power: float) -> None:
        """`power` 0..1: where the levers stand at the start."""
        aircraft = exercise.aircraft
        self._flare = aircraft.flare
        self._tau_s = aircraft.handling.vertical_tau_s
        self._performance = around.airframe.performance
        self._levers: Hand | PowerLevers | None = None
        if aircraft.hand is not None:
            law = aircraft.hand
            is_by_torque = is_torque_set_by_hand(aircraft)
            self._levers = (
                PowerLevers(law.lever_rate_per_s, power) if is_by_torque else Hand(law, power)
            )

    def command(
        self, row: Row, state: State, command: Command, cockpit: Cockpit, air: AirState
    ) -> Command:
        """`command` as it is flown: with the hand's power and flare where they are its job."""
        is_around = row.modes.vertical == "GA"
        if isinstance(self._levers, PowerLevers):
            command = command._replace(power=self._levers.towards(cockpit.selectors.torque_percent))
        elif self._levers is not None and row.modes.thrust != "OFF":
            self._levers.follow(state.power)
        elif self._levers is not None:
            power = self._power(self._levers, row, command, cockpit, air)
            command = command._replace(power=power)
        if row.modes.engagement.startswith("AP") or is_around or row.modes.vertical == "FLARE":
            return command
        law = self._flare
        is_landing = row.radio_ft <= law.start_ft and row.along_nm <= FLARES_WITHIN_NM
        if not is_landing or state.climb_ms > 0.0:
            return command
        sink_ms = flare_climb_ms(row.radio_ft * FT, state.climb_ms, law, self._tau_s)
        power = 0.0 if row.radio_ft <= law.idle_ft else command.power
        return Command(command.bank_rad, max(command.climb_ms, sink_ms), power)

    def _power(
        self, levers: Hand, row: Row, command: Command, cockpit: Cockpit, air: AirState
    ) -> float:
        fixed = _FIXED_POWER.get(row.modes.vertical)
        if fixed is not None:
            return levers.put(row.step, fixed, row.cas_kt * KT)
        seen = Seen(
            row.cas_kt * KT,
            cockpit.selectors.speed_kt * KT,
            command.climb_ms,
            float(cockpit.flap_lever),
            1.0 if cockpit.gear_lever == "down" else 0.0,
            1.0 if cockpit.speedbrake_lever == "out" else 0.0,
        )
        return levers.power(row.step, self._performance, air, seen)
