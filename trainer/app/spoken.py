"""What is told of a flight in short lines, when it changes: for ears, and for lines on paper.

Made from the View alone, like the flight screen, so that it tells in a check what is seen there
and no more. Owns when a value is worth a line. Surprising rule: a value is told again only once it
has moved by a step of its own (a mile, ten knots, half a dot), so that nothing chatters.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from trainer.app.scribe import LogLine
from trainer.app.view import NEAR_LIMIT_KT, Deviation, ModeCell, View
from trainer.units import steps_for

SPEED_STEP_KT = 10.0
DOT_STEP = 0.5
PATH_STEP_FT = 100.0
DOTS_MAX = 2.5
QUIET = steps_for(20.0)
"""Place and speed are told at least this often while the aircraft flies, steps."""
HEIGHTS_FT = (1000, 500, 400, 300, 200, 100, 50, 40, 30, 20, 10)
"""Radio heights told on the way down, ft."""
_SIGNS = {".": "dot", "-": "dash"}
_SILENT = ("YOU",)
"""Whose lines of the log are not told: the pilot has just typed them."""


class Speaker:
    """Remembers what was told, and tells what has changed since."""

    def __init__(self, view: View) -> None:
        self._before = view
        self._last: LogLine | None = view.log[-1] if view.log else None
        self._speed_kt = view.cas_kt
        self._told_at = view.step
        self._mile = _mile(view)
        self._dots: dict[str, float | None] = {}
        self._is_near_limit = False
        self._path_ft: float | None = None

    def lines(self, view: View) -> list[str]:
        """What has changed since the last time, the most urgent first."""
        told = [
            *self._words(view),
            *self._modes(view),
            *self._configuration(view),
            *self._limit(view),
            *self._set(view),
            *self._needle(view.localizer, "right", "left"),
            *self._station(view),
            *self._needle(view.glide, "high", "low"),
            *self._path(view),
            *self._heights(view),
            *self._values(view),
        ]
        self._before = view
        return told

    def _words(self, view: View) -> Iterator[str]:
        fresh: list[LogLine] = []
        for line in reversed(view.log):
            if line is self._last:
                break
            fresh.append(line)
        for line in reversed(fresh):
            if line.who == "IDENT":
                yield f"ident: {morse_words(line.text)}"
            elif line.who not in _SILENT:
                yield f"{line.who}: {line.text}"
        if view.log:
            self._last = view.log[-1]
        if view.challenge and view.challenge != self._before.challenge:
            yield f"{view.checklist} checklist: {view.challenge}: {view.answer}? `confirm`"
        if view.is_icing and not self._before.is_icing:
            yield "ice detected"
        if view.sees != self._before.sees:
            yield f"in sight: {view.in_sight}"

    def _modes(self, view: View) -> Iterator[str]:
        for before, now in zip(self._before.modes, view.modes, strict=True):
            if (before.active, before.is_failed) != (now.active, now.is_failed):
                yield f"{now.label.lower()}: {_word(now)}"
            if before.armed != now.armed:
                yield f"{now.label.lower()} armed: {now.armed or 'none'}"
            if now.note and before.note != now.note:
                yield f"{now.label.lower()}: {now.note}"

    def _configuration(self, view: View) -> Iterator[str]:
        before = self._before
        if view.flap_lever != before.flap_lever:
            yield f"flap lever {view.flap_lever}"
        if before.is_flap_moving and not view.is_flap_moving:
            yield f"flaps {view.flap_shown}"
        if view.gear_shown != before.gear_shown:
            yield f"gear {view.gear_shown}"
        for name, was, now in (
            ("speedbrake", before.speedbrake_lever, view.speedbrake_lever),
            ("spoilers", before.spoilers, view.spoilers),
            ("autobrake", before.autobrake, view.autobrake),
            ("reverse", before.reverse, view.reverse),
            ("propellers", before.propeller_percent, view.propeller_percent),
            ("ice protection", before.ice_protection, view.ice_protection),
        ):
            if was != now:
                yield f"{name} {now}" + (" percent" if isinstance(now, int) else "")

    def _limit(self, view: View) -> Iterator[str]:
        is_near = view.cas_kt > view.limit_kt - NEAR_LIMIT_KT
        if is_near and not self._is_near_limit:
            over = "above" if view.cas_kt > view.limit_kt else "near"
            yield f"{view.cas_kt:.0f} knots, {over} the limit {view.limit_kt:.0f}, {view.limit_why}"
        self._is_near_limit = is_near

    def _set(self, view: View) -> Iterator[str]:
        if view.is_course_split and not self._before.is_course_split:
            yield "course: the two sides differ"
        for name, read in _SETTINGS:
            was, now = read(self._before), read(view)
            if was != now:
                yield f"{name} set {now}"

    def _needle(self, deviation: Deviation, more: str, less: str) -> Iterator[str]:
        dots = deviation.dots
        if dots is not None:
            dots = max(-DOTS_MAX, min(DOTS_MAX, dots))
        known = deviation.label in self._dots
        before = self._dots.get(deviation.label)
        if known and dots is not None and before is not None and abs(dots - before) < DOT_STEP:
            return
        if known and dots is None and before is None:
            return
        self._dots[deviation.label] = dots
        if known or dots is not None:
            yield needle_text(deviation, more, less)

    def _station(self, view: View) -> Iterator[str]:
        """Station passage: the pointer turns from TO to FROM."""
        if view.bearing_deg is not None and view.to_from != self._before.to_from:
            yield f"bearing {view.bearing_deg:03.0f}, {view.to_from.lower()}"

    def _path(self, view: View) -> Iterator[str]:
        """The deviation from a computed path: another word than that for what is received."""
        if view.path_ft is None:
            self._path_ft = None
        elif self._path_ft is None or abs(view.path_ft - self._path_ft) >= PATH_STEP_FT:
            self._path_ft = view.path_ft
            yield f"computed path {_high(view.path_ft)}"

    def _heights(self, view: View) -> Iterator[str]:
        before, now = self._before.radio_ft, view.radio_ft
        if now is None or before is None or view.is_on_ground:
            return
        for height in HEIGHTS_FT:
            if before > height >= now:
                yield f"radio height {height}"
                return

    def _values(self, view: View) -> Iterator[str]:
        mile = _mile(view)
        is_faster = abs(view.cas_kt - self._speed_kt) >= SPEED_STEP_KT
        if mile != self._mile or view.step - self._told_at >= QUIET:
            yield place_text(view)
        elif is_faster:
            yield f"{view.cas_kt:.0f} knots"
        else:
            return
        self._mile, self._told_at, self._speed_kt = mile, view.step, view.cas_kt


_SETTINGS: tuple[tuple[str, Callable[[View], str]], ...] = (
    ("speed", lambda view: f"{view.selected_speed_kt:.0f}"),
    ("heading", lambda view: f"{view.selected_heading_deg:03.0f}"),
    ("altitude", lambda view: f"{view.selected_altitude_ft:.0f}"),
    ("vertical speed", lambda view: f"{view.selected_vertical_speed_fpm:.0f}"),
    ("course", lambda view: f"{view.course_deg:03.0f}"),
    ("frequency", lambda view: view.frequency),
    ("altimeter", lambda view: f"{view.altimeter_hpa:.0f}"),
    ("minimums", lambda view: f"{view.minimums_ft:.0f}"),
    ("final speed", lambda view: f"{view.final_speed_kt:.0f}"),
    ("torque", lambda view: f"{view.torque_set_percent}"),
)


def place_text(view: View) -> str:
    """Where the aircraft is, how high and how fast, in one line."""
    distance = "past the threshold" if view.distance_nm < 0.0 else f"{view.distance_nm:.1f} miles"
    rate = round(view.vertical_speed_fpm, -2)
    vertical = "level" if not rate else f"{'up' if rate > 0.0 else 'down'} {abs(rate):.0f}"
    return (
        f"{distance}, {round(view.altitude_ft, -1):.0f} feet, {vertical}, {view.cas_kt:.0f} knots"
    )


def needle_text(deviation: Deviation, more: str, less: str) -> str:
    """A deviation in words."""
    if deviation.dots is None:
        return f"{deviation.label} {deviation.flag.lower() or 'no signal'}"
    dots = max(-DOTS_MAX, min(DOTS_MAX, deviation.dots))
    if abs(dots) < 0.05:
        return f"{deviation.label} centred"
    return f"{deviation.label} {abs(dots):.1f} dots {more if dots > 0.0 else less}"


def modes_text(view: View) -> str:
    """The annunciator, read from left to right."""
    parts = []
    for cell in view.modes:
        armed = f", armed {cell.armed}" if cell.armed else ""
        note = f", {cell.note}" if cell.note else ""
        parts.append(f"{cell.label.lower()} {_word(cell)}{armed}{note}")
    return "; ".join(parts)


def status_lines(view: View) -> list[str]:
    """Everything the instruments show, in a few lines."""
    trend = round(view.trend_kt)
    gear = view.gear_shown if view.gear_lever in ("", view.gear_shown) else "in transit"
    dme = "no DME" if view.dme_nm is None else f"DME {view.dme_nm:.1f}"
    radio = "" if view.radio_ft is None else f", radio height {view.radio_ft:.0f}"
    following = f", next {view.next_flap}" if view.next_flap else ""
    if view.next_flap and view.next_flap_kt is not None:
        following += f" up to {view.next_flap_kt:.0f}"
    computed = "" if view.path_ft is None else f", computed path {_high(view.path_ft)}"
    if view.bearing_deg is not None:
        computed += f", bearing {view.bearing_deg:03.0f} {view.to_from.lower()}"
    return [
        place_text(view) + radio,
        f"speed set {view.selected_speed_kt:.0f}, {trend:+d} in ten seconds, "
        f"limit {view.limit_kt:.0f} {view.limit_why}, ground speed {view.ground_speed_kt:.0f}",
        f"heading {view.heading_deg:03.0f}, set {view.selected_heading_deg:03.0f}, "
        f"track {view.track_deg:03.0f}; altitude set {view.selected_altitude_ft:.0f}, "
        f"altimeter {view.altimeter_hpa:.0f}",
        f"{needle_text(view.localizer, 'right', 'left')}, "
        f"{needle_text(view.glide, 'high', 'low')}{computed}, {dme}; "
        f"tuned {view.frequency or 'nothing'}, ident {view.identified or 'not heard'}, "
        f"course {view.course_deg:03.0f}"
        + (", the other side differs" if view.is_course_split else ""),
        f"flaps {view.flap_shown}{following}; gear {gear}; {_engines(view)}",
    ]


def _engines(view: View) -> str:
    """Brakes and power, or propellers and torque."""
    if view.torque_set_percent is None:
        levers = {
            "speedbrake": view.speedbrake_lever,
            "spoilers": view.spoilers,
            "autobrake": view.autobrake,
        }
        told = [f"{name} {state}; " for name, state in levers.items() if state]
        return f"{''.join(told)}power {view.power_percent} percent"
    return (
        f"propellers {view.propeller_percent} percent; ice protection {view.ice_protection}"
        f"{', ice detected' if view.is_icing else ''}; "
        f"torque {view.power_percent} percent, set {view.torque_set_percent}"
    )


def _high(feet: float) -> str:
    rounded = round(feet, -1)
    return f"{abs(rounded):.0f} feet {'low' if rounded < 0.0 else 'high'}"


def morse_words(code: str) -> str:
    """Morse as words: "dash dot, dash"; other text stays as it is."""
    if set(code) - set(".-/ "):
        return code
    letters = code.replace("/", "").split()
    return ", ".join(" ".join(_SIGNS[sign] for sign in letter) for letter in letters)


def _word(cell: ModeCell) -> str:
    return f"{cell.active} fail" if cell.is_failed else cell.active


def _mile(view: View) -> int:
    return int(view.distance_nm // 1.0)
