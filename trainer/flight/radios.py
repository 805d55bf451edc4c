"""The receivers on board: what is tuned, what is received, which ident was heard.

A station is received only on its own frequency; a failed signal is flagged whatever its field.
"""

from __future__ import annotations

from trainer.flight.surroundings import Surroundings
from trainer.scenario.exercise import Exercise, Fault
from trainer.units import steps_for
from trainer.world.receiver import Receiver
from trainer.world.reception import SILENCE, Reception

_FOREVER = 1 << 40


class Radios:
    """Both navigation receivers, tuned together."""

    def __init__(self, exercise: Exercise, around: Surroundings) -> None:
        self._aids = exercise.approach
        self._around = around
        self._localizer = Receiver()
        self._glide = Receiver()
        self._is_tuned = False
        self._failed: dict[str, tuple[str, int]] = {}
        self._last = SILENCE
        self.identified = ""

    def tune(self, frequency: str) -> None:
        """Tune both receivers; what was identified before counts no more."""
        self._is_tuned = frequency == self._aids.localizer.frequency
        self._localizer.reset()
        self._glide.reset()
        self._last = SILENCE
        self.identified = ""

    def fail(self, fault: Fault, step: int) -> None:
        """Flag a signal from this step on, for the duration of the fault (0 = for good)."""
        until = step + steps_for(fault.seconds) if fault.seconds else _FOREVER
        self._failed[fault.signal] = (fault.becomes, until)

    def identify(self, step: int) -> str:
        """Listen: the ident now heard, or "" where nothing (or no ident) is received."""
        is_failed = "localizer" in self._failed and step < self._failed["localizer"][1]
        audible = self._last.is_usable and not is_failed
        self.identified = self._aids.localizer.ident if audible else ""
        return self.identified

    def receive(
        self, step: int, x_m: float, y_m: float, plane_m: float
    ) -> tuple[Reception, Reception, float | None]:
        """Localizer, glide path and DME (NM or None) at a point of the threshold plane."""
        if not self._is_tuned:
            return SILENCE, SILENCE, None
        around = self._around
        localizer = self._localizer.receive(around.localizer, x_m, y_m, plane_m)
        glide = self._glide.receive(around.glide, x_m, y_m, plane_m)
        self._last = localizer
        if self._failed:
            localizer = self._with_fault("localizer", localizer, step)
            glide = self._with_fault("glideslope", glide, step)
        dme_nm = None
        if around.dme is not None:
            reading = around.dme.receive(x_m, y_m, plane_m)
            dme_nm = reading.distance_nm if reading.is_received else None
        return localizer, glide, dme_nm

    def _with_fault(self, signal: str, reception: Reception, step: int) -> Reception:
        becomes, until = self._failed.get(signal, ("", 0))
        return reception._replace(state=becomes) if step < until else reception
