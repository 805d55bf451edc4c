"""How quantities and shown states are read from a row: the vocabulary of moments, row side.

One entry per subject of the grammar; nothing here remembers anything.
"""

from __future__ import annotations

from collections.abc import Callable
from operator import itemgetter

from trainer.flight.observers import Reader
from trainer.flight.row import Row, lever_field
from trainer.scenario.exercise import Exercise
from trainer.scenario.moments import Shows

LAST_CHANCE_S = 12.0
"""Time kept for the landing checklist before the gate, s (common practice)."""

SUBJECTS: dict[str, Reader] = {
    "distance": lambda row: row.distance_nm,
    "dme": lambda row: row.dme_nm,
    "altitude": lambda row: row.altitude_ft,
    "height": lambda row: row.height_ft,
    "radio height": lambda row: row.radio_ft,
    "altitude to go": lambda row: abs(row.selectors.altitude_ft - row.altitude_ft),
    "speed": lambda row: row.cas_kt,
    "vertical speed": lambda row: row.vertical_speed_fpm,
    "speed astray": lambda row: row.speed_astray_kt,
    "torque": lambda row: None if row.speed_astray_kt is None else 100.0 * row.power,
    "localizer": lambda row: row.localizer_dots,
    "glideslope": lambda row: row.glide_dots,
    "vor": lambda row: row.vor_dots,
    "track": lambda row: row.track_dots,
    "margin": lambda row: row.margin_nm,
    "selected speed": lambda row: row.selectors.speed_kt,
    "selected heading": lambda row: row.selectors.heading_deg,
    "selected altitude": lambda row: row.selectors.altitude_ft,
    "selected vertical speed": lambda row: row.selectors.vertical_speed_fpm,
    "selected course": lambda row: row.selectors.course_deg,
    "selected frequency": lambda row: float(row.selectors.frequency or 0.0),
    "selected altimeter": lambda row: row.selectors.altimeter_hpa,
    "selected minimums": lambda row: row.selectors.minimums_ft,
    "selected direct to": lambda row: row.selectors.direct_to,
    "selected final speed": lambda row: row.selectors.final_speed_kt,
    "selected torque": lambda row: row.selectors.torque_percent,
}
"""How each quantity is read from a row; "selected X" is where selector X stands."""


_DECK = (
    "localizer", "glide", "vor", "track", "identified", "phase", "sees", "flap", "flap_lever",
    "gear", "gear_lever", "speedbrake", "speedbrake_lever", "spoilers", "autobrake", "reverse",
    "propellers", "ice_protection", "is_icing",
)  # fmt: skip
deck_of = itemgetter(*map(Row._fields.index, _DECK))
"""Everything that signal, config, lever, phase and sees states read, to see it change."""


def is_last_chance(row: Row) -> bool:
    """Whether the margin to the main gate leaves no more than the landing checklist takes."""
    return is_used_up(row.margin_nm, row)


def is_used_up(margin: float | None, row: Row) -> bool:
    """Whether `margin` (NM) leaves no more than the time of the landing checklist at `row`."""
    return margin is not None and margin <= row.ground_speed_kt * LAST_CHANCE_S / 3600.0


def shows(moment: Shows, exercise: Exercise) -> Callable[[Row], bool]:
    """A test of one row for a shown state."""
    values = frozenset(moment.values)
    match moment.subject:
        case "mode":
            return _mode_test(moment.key, values)
        case "signal":
            alive = exercise.aircraft.guidance.alive_dots
            ident = exercise.approach.localizer.ident
            return _signal_test(moment.key, values, alive, ident)
        case "config":
            return _config_test(moment.key, moment.values, exercise)
        case "lever":
            if moment.key == "flaps":
                stages = frozenset(exercise.aircraft.stage_index(name) for name in values)
                return lambda row: row.flap_lever in stages
            attribute = lever_field(moment.key)
            return lambda row: getattr(row, attribute) in values
        case "phase":
            return lambda row: row.phase in values
        case "sees" if "ice" in values:
            return lambda row: row.is_icing or row.sees in values
        case "sees":
            if "lights" in values:
                return lambda row: row.sees in ("lights", "runway")
            return lambda row: row.sees in values
    raise RuntimeError(f"unknown state {moment.subject}")


def _mode_test(column: str, values: frozenset[str]) -> Callable[[Row], bool]:
    if column in ("lateral armed", "vertical armed"):
        place = 2 if column == "lateral armed" else 3
        return lambda row: not values.isdisjoint(row.modes[place])
    place = {"lateral": 0, "vertical": 1, "thrust": 4, "engagement": 5, "capability": 6}[column]
    return lambda row: row.modes[place] in values


_SIGNAL_FIELDS = {
    "localizer": ("localizer", "localizer_dots"),
    "glideslope": ("glide", "glide_dots"),
    "vor": ("vor", "vor_dots"),
    "track": ("track", "track_dots"),
}


def _signal_test(
    key: str, values: frozenset[str], alive: float, ident: str
) -> Callable[[Row], bool]:
    """A test of a signal's state; "identified": the approach's own `ident` was heard on it."""
    wants_alive, wants_ident = "alive" in values, "identified" in values
    shown = values | ({"covered"} if "received" in values else set())

    state, dots = _SIGNAL_FIELDS[key]

    def test(row: Row) -> bool:
        if getattr(row, state) in shown:
            return True
        if wants_ident and row.identified == ident:
            return True
        if not wants_alive:
            return False
        deviation: float | None = getattr(row, dots)
        return deviation is not None and abs(deviation) < alive

    return test


def _config_test(key: str, values: tuple[str, ...], exercise: Exercise) -> Callable[[Row], bool]:
    if key == "flaps":
        stages = tuple(float(exercise.aircraft.stage_index(name)) for name in values)
        return lambda row: any(abs(row.flap - stage) < 1e-6 for stage in stages)
    target = 1.0 if values[0] in ("down", "out") else 0.0
    if key == "gear":
        return lambda row: abs(row.gear - target) < 1e-6
    return lambda row: abs(row.speedbrake - target) < 1e-6
