"""What a call claims, and whether the aircraft showed it: the only judge of words.

A claim is held against the rows of the two seconds before the call was opened; silence and
words without a claim are never wrong. Slots (numbers and names in a call) are held against the
state, with the published tolerances.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from trainer.flight.row import Row
from trainer.scenario.exercise import Event, Exercise
from trainer.scenario.phrases import Call

ALTITUDE_TOLERANCE_FT = 100.0
"""How far a spoken altitude may be from the altimeter (common practice: nearest hundred)."""

DISTANCE_TOLERANCE_NM = 0.5
"""How far a spoken distance may be from the one that is read (common practice: nearest mile)."""

MODE_CLAIMS: dict[str, tuple[str, str]] = {
    "localizer armed": ("lateral armed", "LOC"),
    "localizer captured": ("lateral", "LOC"),
    "vor armed": ("lateral armed", "VOR"),
    "vor captured": ("lateral", "VOR"),
    "nav": ("lateral", "NAV"),
    "heading": ("lateral", "HDG"),
    "align": ("lateral", "ALIGN"),
    "align armed": ("lateral armed", "ALIGN"),
    "rollout": ("lateral", "ROLLOUT"),
    "rollout armed": ("lateral armed", "ROLLOUT"),
    "glide armed": ("vertical armed", "GLIDE"),
    "glide captured": ("vertical", "GLIDE"),
    "path armed": ("vertical armed", "PATH"),
    "path captured": ("vertical", "PATH"),
    "climb": ("vertical", "CLIMB"),
    "altitude capture": ("vertical", "ALT CAP"),
    "altitude hold": ("vertical", "ALT"),
    "vertical speed": ("vertical", "VS"),
    "descend": ("vertical", "DESCEND"),
    "flare": ("vertical", "FLARE"),
    "flare armed": ("vertical armed", "FLARE"),
    "nav armed": ("lateral armed", "NAV"),
    "go-around": ("vertical", "GA"),
    "thrust idle": ("thrust", "IDLE"),
    "speed mode": ("thrust", "SPEED"),
    "autopilot on": ("engagement", "AP"),
    "autopilot both": ("engagement", "AP BOTH"),
    "autopilot off": ("engagement", "FD"),
    "passive": ("capability", "PASSIVE"),
    "operational": ("capability", "OPERATIONAL"),
    "capability lost": ("capability", ""),
    "lpv": ("capability", "LPV"),
    "lnav vnav": ("capability", "LNAV/VNAV"),
    "lnav": ("capability", "LNAV"),
}
"""Intent of a mode call: the column and word it claims to be shown."""

_COLUMN_PLACE = {
    "lateral": 0, "vertical": 1, "lateral armed": 2, "vertical armed": 3, "thrust": 4,
    "engagement": 5, "capability": 6,
}  # fmt: skip

COLUMN_WORDS = {"LOC": "localizer", "GLIDE": "glide", "PATH": "path"}

_UNUSABLE = ("flagged", "none")
GO_AROUND_POWER = 0.3
"""Power above which thrust is seen to have risen for a go-around."""

_STATE_CLAIMS: dict[str, Callable[[Row], bool]] = {
    "localizer flag": lambda row: row.localizer in _UNUSABLE,
    "glide flag": lambda row: row.glide in _UNUSABLE,
    "navigation flag": lambda row: row.track == "flagged",
    "gear down": lambda row: row.gear_lever == "down",
    "gear up": lambda row: row.gear_lever == "up",
    "three green": lambda row: row.gear == 1.0,
    "spoilers armed": lambda row: row.spoilers == "armed",
    "speedbrake out": lambda row: row.speedbrake_lever == "out",
    "speedbrake in": lambda row: row.speedbrake_lever == "in",
    "lights in sight": lambda row: row.sees != "",
    "runway in sight": lambda row: row.sees == "runway",
    "landing": lambda row: row.sees == "runway",
    "not in sight": lambda row: row.sees == "",
    "positive climb": lambda row: row.vertical_speed_fpm > 0.0,
    "go-around thrust": lambda row: row.power > GO_AROUND_POWER,
    "decelerating": lambda row: row.is_on_ground,
    "not decelerating": lambda row: row.is_on_ground,
    "reverse": lambda row: row.reverse == "selected",
    "spoilers": lambda row: row.is_on_ground and row.spoilers == "armed",
    "no spoilers": lambda row: row.is_on_ground and row.spoilers != "armed",
    "no reverse": lambda row: row.is_on_ground and row.reverse != "selected",
}

_SIGHT_CLAIMS = ("lights in sight", "runway in sight", "landing")


_NEEDLES: dict[str, Callable[[Row], float | None]] = {
    "localizer alive": lambda row: row.localizer_dots,
    "glide alive": lambda row: row.glide_dots,
}


def _is_alive(row: Row, intent: str, alive_dots: float) -> bool:
    dots = _NEEDLES[intent](row)
    return dots is not None and abs(dots) < alive_dots


def is_identified(row: Row, exercise: Exercise) -> bool:
    """Whether the ident of the approach's own station has been heard on the frequency in use."""
    return row.identified == exercise.approach.localizer.ident


def family(column: str) -> str:
    """The axis of an annunciator column: armed and active words of one axis belong together."""
    return column.removesuffix(" armed")


def is_shown(column: str, word: str, row: Row) -> bool:
    """Whether `word` stands in `column` of the annunciator."""
    shown = row.modes[_COLUMN_PLACE[column]]
    if isinstance(shown, tuple):
        return word in shown
    if word == "FD":
        return not shown.startswith("AP")
    if word == "AP":
        return shown.startswith("AP")
    return shown == word


def shown_word(axis: str, row: Row) -> str:
    """The active word in the column of `axis`."""
    word = row.modes[_COLUMN_PLACE[axis]]
    assert isinstance(word, str)
    return word


def is_mode_claim_true(intent: str, rows: Sequence[Row]) -> bool:
    """Whether a mode call names something shown in any of `rows`."""
    column, word = MODE_CLAIMS[intent]
    return any(is_shown(column, word, row) for row in rows)


def mode_phrase(column: str, word: str) -> str:
    """The intent that names `word` in `column`, or "" if no call does."""
    if word == "OFF":
        word = "FD"
    for intent, claim in MODE_CLAIMS.items():
        if claim == (column, word):
            return intent
    return ""


def contradiction(call: Call, rows: Sequence[Row], exercise: Exercise) -> str:
    """What the aircraft showed instead of what `call` claims, or "" if it claims nothing false."""
    row = rows[-1]
    if call.intent in MODE_CLAIMS:
        if is_mode_claim_true(call.intent, rows):
            return ""
        column, _ = MODE_CLAIMS[call.intent]
        return f"shown was {shown_text(column, row)}"
    if call.intent == "identified" and not any(is_identified(one, exercise) for one in rows):
        return f"heard was {row.identified or 'no ident'}"
    if call.intent in _NEEDLES:
        alive = exercise.aircraft.guidance.alive_dots
        if not any(_is_alive(one, call.intent, alive) for one in rows):
            return "the needle was on its stop or gone"
    if call.intent == "positive climb" and not rows[-1].altitude_ft > rows[0].altitude_ft:
        return "the altimeter was not rising"
    claim = _STATE_CLAIMS.get(call.intent)
    if claim is not None and not any(claim(one) for one in rows):
        if call.intent in _SIGHT_CLAIMS:
            return f"in sight was {row.sees or 'nothing'}"
        return "the aircraft showed otherwise"
    return slot_error(call, rows, exercise)


def shown_text(column: str, row: Row) -> str:
    """Active and armed words of the axis of `column`, for sentences."""
    axis = family(column)
    active = row.modes[_COLUMN_PLACE[axis]]
    if axis not in ("lateral", "vertical"):
        return f"{axis} {active or 'nothing'}"
    armed = row.modes[_COLUMN_PLACE[f"{axis} armed"]]
    text = f"{axis} {active}"
    return f"{text}, {' and '.join(armed)} armed" if armed else f"{text}, nothing armed"


def slot_error(call: Call, rows: Sequence[Row], exercise: Exercise) -> str:
    """What is wrong with the numbers or names of a call, or ""."""
    row = rows[-1]
    for slot, said in call.slots:
        wanted = slot_truth(call.intent, slot, row, exercise)
        if wanted is None:
            continue
        if isinstance(wanted, str):
            if said.casefold() != wanted.casefold():
                return f"{slot} {said} was said, {wanted} is right"
            continue
        value, tolerance = wanted
        spoken = float(said)
        if abs(spoken - value) > tolerance:
            right = f"{value:.0f}" if tolerance >= 0.5 else f"{value:g}"
            return f"{slot} {said} was said, {right} is right"
    return ""


def slot_truth(
    intent: str, slot: str, row: Row, exercise: Exercise
) -> str | tuple[float, float] | None:
    """What `slot` of a call must hold at `row`: a name, or a number and how far it may be off."""
    selectors = row.selectors
    match slot:
        case "stage":
            return exercise.aircraft.flaps[row.flap_lever].name
        case "ident":
            return exercise.approach.localizer.ident
        case "fix":
            return exercise.approach.final_fix.name
        case "course":
            return (exercise.approach.localizer.course_deg, 0.0)
        case "setting":
            return (selectors.altimeter_hpa, 0.5)
        case "speed":
            return (selectors.speed_kt, 2.0)
        case "altitude" if intent.startswith("missed approach"):
            return (exercise.approach.missed_altitude_ft, 0.0)
        case "altitude" if intent.startswith("altitude set"):
            return (selectors.altitude_ft, 0.0)
        case "fuel" if exercise.start.leaving_fuel_t > 0.0:
            return (exercise.start.leaving_fuel_t, 0.05)
        case "altitude":
            return (row.altitude_ft, ALTITUDE_TOLERANCE_FT)
        case "distance" if intent == "distance check":
            read_nm = row.distance_nm if row.dme_nm is None else row.dme_nm
            return (read_nm, DISTANCE_TOLERANCE_NM)
        case "minimums":
            # Up to 20 ft above, never below: the middle of what is accepted, and half its width.
            return (exercise.approach.minimums_in_use_ft(row.modes.capability) + 10.0, 10.5)
    return None


def read_back_error(calls: Sequence[Call], event: Event) -> str:
    """What is missing or wrong in a read-back of `event`, or "".

    Every slot of the clearance must be carried, with exactly its value; the words around it are
    free as long as they name the clearance (ICAO Doc 4444, read-back of clearances).
    """
    said: dict[str, str] = {}
    for call in calls:
        said.update(call.slots)
    for slot, wanted in event.slots:
        if slot not in said:
            return f"{slot} {wanted} was not read back"
        if _plain(said[slot]) != _plain(wanted):
            return f"{slot} {said[slot]} was read back, {wanted} was cleared"
    return ""


def _plain(text: str) -> str:
    try:
        return f"{float(text):g}"
    except ValueError:
        return text.casefold()
