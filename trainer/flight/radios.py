"""The receivers on board: what is tuned, what is received, which ident was heard.

Owns the two receivers, the failures of the approach's signals and the ident. Refuses to know
which station is the right one: whatever sends on the tuned frequency is received with its own
needle, ident and ranging, and a frequency on which nobody sends gives silence.
"""

from __future__ import annotations

from dataclasses import replace

from trainer.flight.stations import NOTHING
from trainer.flight.surroundings import Surroundings
from trainer.guidance.modes import Selectors
from trainer.scenario.exercise import Fault, Localizer
from trainer.units import DEG, STEP_S, steps_for
from trainer.world.localizer import bend_dots
from trainer.world.morse import IDENT_PERIOD_S, SLOT_S, sent_by
from trainer.world.receiver import Receiver
from trainer.world.reception import SILENCE, Reception
from trainer.world.vor import VorCourse, VorStation

_FOREVER = 1 << 40
_NEVER = -1
_INAUDIBLE = ("flagged", "off", "maintenance")


class Radios:
    """Both navigation receivers, tuned together.

    `localizer`, `glide`, `vor` and `dme_nm` (None without a reply) are what the tuned station gives
    where the aircraft is: whoever wants to know lets them `receive` there first.
    `identified` is the ident that was heard or decoded last on this frequency. By ear ("audio") it
    is what a press of identify gave, and stays. A decoder shows what has been sent as a whole, and
    nothing once the station has been silent for a period: "decoded" from tuning on, "audio or
    decoded" from a press on, because a receiver page that nobody opens tells nobody.
    `course_rad` and `angle_rad` are those of the localizer and glide path that are tuned, or of the
    approach where none is.
    """

    def __init__(self, around: Surroundings, ident: str = "audio") -> None:
        """`ident`: how the type identifies a station."""
        self._stations = around.stations
        self._own = (around.localizer.course_rad, around.glide.angle_rad)
        self._localizer = Receiver()
        self._glide = Receiver()
        self._vor = Receiver()
        self._vor_course: VorCourse | None = None
        self._tuned = NOTHING
        self._beam = around.localizer
        self._failed: dict[str, tuple[str, int, int]] = {}
        self._dead: set[str] = set()
        self._is_dead = self._has_fault = False
        self._ident = ident
        self._is_decoding = False
        self._decoded_at = _NEVER
        self._silent_from = _NEVER
        self._period_s = IDENT_PERIOD_S
        self.course_rad, self.angle_rad = self._own
        self.identified = ""
        self.localizer = self.glide = self.vor = SILENCE
        self.dme_nm: float | None = None

    def tune(self, frequency: str) -> None:
        """Tune both receivers; what was identified before counts no more."""
        self._tuned = tuned = self._stations.get(frequency, NOTHING)
        for receiver in (self._localizer, self._glide, self._vor):
            receiver.reset()
        self._vor_course = None
        self._period_s = IDENT_PERIOD_S if tuned.dme is None else SLOT_S
        self.localizer = self.glide = self.vor = SILENCE
        self.dme_nm = None
        own_course_rad, own_angle_rad = self._own
        self.course_rad = own_course_rad if tuned.localizer is None else tuned.course_rad
        self.angle_rad = own_angle_rad if tuned.glide is None else tuned.angle_rad
        self.identified = ""
        self._is_decoding = self._ident == "decoded"
        self._decoded_at = _NEVER

    def set_up(self, localizer: Localizer) -> None:
        """Begin tuned to the approach, its ident heard."""
        self.tune(localizer.frequency)
        self.identified = localizer.ident
        self._is_decoding = self._ident != "audio"

    def fail(self, fault: Fault, step: int) -> None:
        """Fail a signal of the approach from this step on, for its duration (0 = for good).

        The displays have one receiver left when the other fails; without both, everything flags.
        """
        if fault.system:
            self._dead.add(fault.system)
            self._is_dead = {"receiver 1", "receiver 2"} <= self._dead
            self._has_fault |= self._is_dead
            return
        until = step + steps_for(fault.seconds) if fault.seconds else _FOREVER
        self._failed[fault.signal] = (fault.becomes, step, until)
        self._has_fault = True

    def identify(self, step: int) -> str:
        """Listen: the ident now heard, or "" where nothing (or no ident) is received."""
        self.identified = self._audible_ident(step)
        self._is_decoding = self._ident != "audio"
        self._silent_from = step
        return self.identified

    def _audible_ident(self, step: int) -> str:
        if self._has_fault and self._fault("localizer", step) in _INAUDIBLE:
            return ""
        is_near = self._localizer.is_usable or self._vor.is_usable or self.dme_nm is not None
        return self._tuned.ident if is_near else ""

    def _decode(self, step: int) -> None:
        """Show the ident when a whole one has been sent; nothing when none has been for a while."""
        ident = self._audible_ident(step)
        if ident:
            self._silent_from = step
            if self._decoded_at == _NEVER:
                self._decoded_at = steps_for(sent_by(step * STEP_S, ident, self._period_s))
            if step >= self._decoded_at:
                self.identified = ident
            return
        self._decoded_at = _NEVER
        if step >= self._silent_from + steps_for(self._period_s):
            self.identified = ""

    def receive(
        self, step: int, x_m: float, y_m: float, plane_m: float, selectors: Selectors
    ) -> None:
        """Receive at a point of the threshold plane with the course that is selected."""
        tuned = self._tuned
        if tuned is NOTHING:
            return
        beam, slope, station, ranging = tuned.localizer, tuned.glide, tuned.vor, tuned.dme
        localizer = glide = vor = SILENCE
        if beam is not None:
            localizer = self._localizer.receive(beam, x_m, y_m, plane_m)
        if slope is not None:
            glide = self._glide.receive(slope, x_m, y_m, plane_m)
        if station is not None:
            radial = self._radial(station, selectors.course_deg * DEG)
            vor = self._vor.receive(radial, x_m, y_m, plane_m)
        if ranging is not None:
            self.dme_nm = ranging.reply_nm(x_m, y_m, plane_m)
        if self._has_fault:
            localizer = self._with_fault("localizer", localizer, step)
            glide = self._with_fault("glideslope", glide, step)
            vor = self._with_fault("vor", vor, step)
        self.localizer, self.glide, self.vor = localizer, glide, vor
        if self._is_decoding:
            self._decode(step)

    def _radial(self, vor: VorStation, course_rad: float) -> VorCourse:
        held = self._vor_course
        if held is None or held.course_rad != course_rad:
            self._vor_course = held = vor.course(course_rad)
        return held

    def _fault(self, signal: str, step: int) -> str:
        """What is wrong with a signal of the tuned station now, or ""."""
        if self._is_dead:
            return "flagged"
        becomes, _, until = self._failed.get(signal, ("", 0, 0))
        return becomes if self._tuned.is_approach and step < until else ""

    def _with_fault(self, signal: str, reception: Reception, step: int) -> Reception:
        becomes = self._fault(signal, step)
        if becomes == "flagged":
            return replace(reception, state="flagged")
        if becomes == "bent":
            _, since, until = self._failed[signal]
            lasts_s = STEP_S * (until - since)
            return self._beam.bent(reception, bend_dots(STEP_S * (step - since), lasts_s))
        return SILENCE if becomes == "off" else reception
