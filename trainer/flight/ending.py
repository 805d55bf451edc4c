"""When a flight ends, and why: stopped, level again with a decision, impact, or out of time."""

from __future__ import annotations

from trainer.flight.moments import Evaluator
from trainer.flight.row import Row
from trainer.units import STEPS_PER_S

DECISION = "decision"
"""The call that says what comes next: again, hold or divert."""
LIMIT_STEPS = 45 * 60 * STEPS_PER_S
AFTER_LEVEL_STEPS = 30 * STEPS_PER_S
DECIDE_STEPS = 180 * STEPS_PER_S
_LEVEL_FPM = 200.0
AWAY_FT = 2000.0
"""So far above where it should end, a climb that nobody levels off is given up (our figure)."""

STOPPED = "stopped on the runway"
LEVEL = "level after the missed approach"
UNDECIDED = "abandoned: no decision within three minutes of level-off"
OFF_RUNWAY = "abandoned: ground contact beside or before the runway"
GEAR_UP = "abandoned: touched down without the gear down"
HARD = "abandoned: touched down harder than a landing"
CLIMBED_AWAY = "abandoned: climbed away from the missed-approach altitude"
OUT_OF_TIME = "abandoned: 45 minutes flown"


class Ending:
    """Watches for the end of one flight."""

    def __init__(self, missed_altitude_ft: float) -> None:
        """`missed_altitude_ft`: where a go-around ends."""
        self._missed_ft = missed_altitude_ft
        self._begun_ft: float | None = None
        self._strike = ""
        self._level_since: int | None = None
        self._decided = False

    def strike(self, reason: str) -> None:
        """The aircraft has met the ground where or as it should not."""
        self._strike = reason

    def reason(self, row: Row, watcher: Evaluator) -> str:
        """Why the flight ends at `row`, or ""."""
        if self._strike:
            return self._strike
        if row.phase == "stopped":
            return STOPPED
        if row.step >= LIMIT_STEPS:
            return OUT_OF_TIME
        if self._is_climbing_away(row):
            return CLIMBED_AWAY
        if row.phase not in ("climb-out", "decision", "discontinued"):
            return ""
        happenings = watcher.context.happenings
        if ("said", DECISION, "") in happenings:
            self._decided = True
        is_level = row.modes.vertical == "ALT" and abs(row.vertical_speed_fpm) < _LEVEL_FPM
        if not is_level and self._level_since is None:
            return ""
        if self._level_since is None:
            self._level_since = row.step
        level_for = row.step - self._level_since
        if self._decided and level_for >= AFTER_LEVEL_STEPS:
            return LEVEL
        return UNDECIDED if level_for >= DECIDE_STEPS else ""

    def _is_climbing_away(self, row: Row) -> bool:
        """Nothing is captured any more: far above where it ends, was begun, or is selected to."""
        if row.modes.vertical != "GA":
            self._begun_ft = None
            return False
        if self._begun_ft is None:
            self._begun_ft = row.altitude_ft
        ends_ft = max(self._missed_ft, self._begun_ft, row.selectors.altitude_ft)
        return row.altitude_ft > ends_ft + AWAY_FT
