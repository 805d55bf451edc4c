"""What the three blocks of instruments say: speed and configuration, raw deviations, position.

Nine lines each, own labels in plain columns; every colour goes with a word or a shape. Surprising
rule: the diamond is the course or the path as seen from the aircraft, so it stands left when the
aircraft is right.
"""

from __future__ import annotations

from trainer.app.view import NEAR_LIMIT_KT, Deviation, View
from trainer.app.widgets.lines import Line, Span, big, padded
from trainer.app.widgets.rose import rose
from trainer.units import wrap_deg

_DEAD_TREND_KT = 2.0

# Speed and configuration ------------------------------------------------------------------------


def energy(view: View, width: int) -> list[Line]:
    """Airspeed with target, trend and limit; flaps, gear, and what else changes the speed."""
    figures = big(f"{view.cas_kt:3.0f}")
    meaning = "value"
    if view.cas_kt > view.limit_kt:
        meaning = "warning"
    elif view.cas_kt > view.limit_kt - NEAR_LIMIT_KT:
        meaning = "caution"
    over = " OVER" if view.cas_kt > view.limit_kt else ""
    bug = f" bug {view.final_speed_kt:.0f}" if view.final_speed_kt else ""
    return [
        ((f" {figures[0]} ", meaning), ("kt ", "label"), *_trend(view)),
        (
            (f" {figures[1]} ", meaning),
            ("set ", "label"),
            (f"{view.selected_speed_kt:.0f}", "selected"),
            (bug, "selected"),
        ),
        (
            (f" {figures[2]} ", meaning),
            ("max ", "label"),
            (f"{view.limit_kt:.0f}{over}", "warning" if over else ""),
            (f" {_short(view.limit_why)}", "label"),
        ),
        (
            (" FLAPS ", "label"),
            (f"{view.flap_lever:<4}", "value"),
            *_moving(f"at {view.flap_shown}" if view.is_flap_moving else ""),
        ),
        _next_flap(view),
        (
            (" GEAR  ", "label"),
            (f"{view.gear_lever.upper() or 'FIXED':<5}", "value"),
            *_moving("in transit" if view.gear_lever not in ("", view.gear_shown) else ""),
        ),
        *(_power(view) if view.torque_set_percent is None else _torque(view)),
    ]


def _power(view: View) -> list[Line]:
    """Speedbrake, ground spoilers, autobrake and reverse where they are fitted; power."""
    return [
        (
            *_lever(" BRAKE ", f"{view.speedbrake_lever:<4}", "in", "caution"),
            *_lever("  spoil ", _word(view.spoilers, "disarmed", "off")),
        ),
        (*_lever(" AUTO  ", f"{view.autobrake:<7}"), *_reverse(view)),
        (
            (" POWER ", "label"),
            (f"{view.power_percent:3d} %", "value"),
            ("   GS ", "label"),
            (f"{view.ground_speed_kt:.0f}", "value"),
        ),
    ]


def _torque(view: View) -> list[Line]:
    """Propellers, ice protection, reverse and torque, where a pilot sets it."""
    speed = "" if view.propeller_percent is None else f"{view.propeller_percent:3d} %"
    is_set = view.power_percent == view.torque_set_percent
    return [
        ((" NP    ", "label"), (f"{speed:<7}", "value"), *_reverse(view)),
        (
            (" ICE   ", "label"),
            (f"{view.ice_protection:<4}", _if(view.ice_protection == "on", "active")),
            (f"{'DETECTED' if view.is_icing else '':<8}", "caution"),
            (" GS ", "label"),
            (f"{view.ground_speed_kt:.0f}", "value"),
        ),
        (
            (" TRQ   ", "label"),
            (f"{view.power_percent:3d} %", "value"),
            ("  set ", "label"),
            (f"{view.torque_set_percent}", "selected"),
            ("" if is_set else " …", "caution"),
        ),
    ]


def _reverse(view: View) -> Line:
    """Off or on: the narrowest screen has room for no longer word."""
    return _lever("reverse ", {"stowed": "off", "selected": "on"}.get(view.reverse, view.reverse))


def _lever(label: str, state: str, quiet: str = "off", meaning: str = "active") -> Line:
    """A lever and where it stands, marked unless that is `quiet`; blank where there is none."""
    if not state.strip():
        return ((" " * len(label + state), ""),)
    return ((label, "label"), (state, _if(state.strip() != quiet, meaning)))


def _if(condition: bool, meaning: str) -> str:
    return meaning if condition else ""


def _word(state: str, quiet: str, instead: str) -> str:
    return instead if state == quiet else state


def _short(why: str) -> str:
    """What sets the limit, in a word; the lowest of all needs none."""
    return (
        "" if why == "maximum" else why.replace("gear in transit", "gear").replace("flaps", "flap")
    )


def _trend(view: View) -> Line:
    if abs(view.trend_kt) < _DEAD_TREND_KT:
        return (("steady", "label"),)
    arrow = "▲" if view.trend_kt > 0.0 else "▼"
    ahead_kt = view.cas_kt + view.trend_kt
    return ((f"{arrow} {ahead_kt:.0f}", "value"), (" in 10s", "label"))


def _moving(text: str) -> Line:
    return ((f"… {text}", "caution"),) if text else ()


def _next_flap(view: View) -> Line:
    if not view.next_flap:
        return ((" next  ", "label"), ("none, full", "label"))
    limit = "" if view.next_flap_kt is None else f"up to {view.next_flap_kt:.0f}"
    return ((" next  ", "label"), (f"{view.next_flap:<4}", ""), (limit, "label"))


# Deviations and aids ----------------------------------------------------------------------------

_SCALE = "·   ·   │   ·   ·"
_CENTRE = 8
_MOST_PATH_FT = 9990.0


def raw_data(view: View, width: int, light: bool | None = None) -> list[Line]:
    """Course scale, aids and settings on the left, the glide path scale on the right.

    Beside the lower half of that scale stands the deviation from a computed path, as figures: what
    is computed must not look like what is received. While a VOR is tuned, the bearing pointer
    stands in place of the scale, and the figures below it. `light` is that of an identification
    being sent, None while none is.
    """
    if view.localizer.label == "VOR":
        right = [padded(line, 10) for line in (*rose(view), *_path_below(view.path_ft))]
    else:
        right = _glide(view.glide)
        for at, word in _path(view.path_ft):
            right[at] = (*right[at][:-1], word)
    room = max(18, width - 10)
    left = _aids(view, room, light)
    return [(*padded(a, room), *b) for a, b in zip(left, right, strict=True)]


def _aids(view: View, room: int, light: bool | None) -> list[Line]:
    name, scale, word = _localizer(view.localizer, room)
    dme = "—" if view.dme_nm is None else f"{view.dme_nm:.1f}"
    tuned = view.frequency or "—"
    ident = view.identified or ("no ident" if room > len(" AID  110.35 no ident") else "no id")
    radio = "—" if view.radio_ft is None else f"{view.radio_ft:.0f}"
    minimums = f"{view.minimums_ft:.0f}" if view.minimums_ft else "—"
    ident_line: Line = ((f" {ident}", ""),)
    if light is not None:
        ident_line = ((" ", ""), ("●●●" if light else "···", "active" if light else "label"))
    course: Line = ((" CRS  ", "label"), (f"{view.course_deg:03.0f}", "selected"))
    if view.is_course_split:
        differ = "sides differ" if room > len(" CRS  140 sides differ") else "differ"
        course = (*course, (f" {differ}", "caution"))
    return [
        name,
        scale,
        word,
        ((" AID  ", "label"), (tuned, "selected"), *ident_line),
        course,
        ((" DME  ", "label"), (dme, "value"), (" NM", "label")),
        ((" RADIO ", "label"), (radio, "value"), (" ft", "label")),
        ((" MINS ", "label"), (minimums, "selected"), (" ft", "label")),
        ((" SEEN ", "label"), (view.in_sight, _if(view.in_sight != "nothing", "value"))),
    ]


def _localizer(deviation: Deviation, room: int) -> tuple[Line, Line, Line]:
    name: Line = ((f" {deviation.label}", "label"),)
    if deviation.dots is None:
        return name, ((f" {deviation.flag:^17}", "warning"),), ()
    # The diamond is the course as seen from the aircraft: it stands left when we are right of it.
    at = min(max(round(_CENTRE - deviation.dots * 4.0), 0), len(_SCALE) - 1)
    scale: Line = (
        (" ", ""), (_SCALE[:at], "label"), ("◆", "active"), (_SCALE[at + 1 :], "label"),
    )  # fmt: skip
    side = "right" if deviation.dots > 0.0 else "left"
    dots = abs(deviation.dots)
    of = " of course" if room > len(" 2.5 right of course") else ""
    text = "on course" if dots < 0.05 else f"{dots:.1f} {side}{of}"
    return name, scale, ((f" {text}", "value"),)


def _off_path(path_ft: float) -> tuple[float, str]:
    """Feet off the computed path, rounded, and on which side."""
    feet = min(round(abs(path_ft), -1), _MOST_PATH_FT)
    return feet, "on" if feet == 0.0 else "high" if path_ft > 0.0 else "low"


def _path_below(path_ft: float | None) -> tuple[Line, Line]:
    """The deviation from the computed path in two lines below a bearing pointer."""
    if path_ft is None:
        return (), ()
    feet, side = _off_path(path_ft)
    return ((" PATH ft", "label"),), (
        (f" {side}" if side == "on" else f" {feet:.0f} {side}", "value"),
    )


def _path(path_ft: float | None) -> tuple[tuple[int, Span], ...]:
    """Line and words of the deviation from the computed path."""
    if path_ft is None:
        return ()
    feet, side = _off_path(path_ft)
    return (
        (5, (" PATH", "label")),
        (6, (f" {side}", "value")),
        (7, ("" if side == "on" else f" {feet:.0f}ft", "value")),
    )


def _glide(deviation: Deviation) -> list[Line]:
    marks = [" · ", "   ", " · ", "   ", "─┼─", "   ", " · ", "   ", " · "]
    words: list[Span] = [("", "") for _ in marks]
    words[0] = (" GLIDE", "label")
    if deviation.dots is None:
        words[2] = (" FLAG" if deviation.flag == "FLAG" else " NONE", "warning")
        return [((" " * len(mark), ""), word) for mark, word in zip(marks, words, strict=True)]
    dots = deviation.dots
    side = "on" if abs(dots) < 0.05 else "high" if dots > 0.0 else "low"
    words[1] = (f" {side}", "value")
    words[2] = ("" if side == "on" else f" {abs(dots):.1f}", "value")
    at = min(max(round(4 + dots * 2.0), 0), 8)
    lines: list[Line] = []
    for y, (mark, word) in enumerate(zip(marks, words, strict=True)):
        if y == at:
            lines.append(((mark[0], "label"), ("◆", "active"), (mark[2], "label"), word))
        else:
            lines.append(((mark, "label"), word))
    return lines


# Altitude and direction -------------------------------------------------------------------------


def position(view: View, width: int) -> list[Line]:
    """Altitude with its selection, vertical speed, heading, track and bank."""
    figures = big(f"{view.altitude_ft:5.0f}")
    bank = abs(view.bank_deg)
    side = "" if bank < 0.5 else " right" if view.bank_deg > 0.0 else " left"
    drift = wrap_deg(view.track_deg - view.heading_deg)
    drift_text = "" if abs(drift) < 1.5 else f"   drift {abs(drift):.0f} {_side(drift)}"
    distance = "past" if view.distance_nm < 0.0 else f"{view.distance_nm:.1f}"
    return [
        ((f" {figures[0]} ", "value"), ("ft", "label")),
        (
            (f" {figures[1]} ", "value"),
            ("set ", "label"),
            (f"{view.selected_altitude_ft:.0f}", "selected"),
        ),
        (
            (f" {figures[2]} ", "value"),
            ("hPa ", "label"),
            (f"{view.altimeter_hpa:.0f}", "selected"),
        ),
        (
            (" VS  ", "label"),
            (f"{_signed(round(view.vertical_speed_fpm, -1)):>5}", "value"),
            ("   set ", "label"),
            (f"{_signed(view.selected_vertical_speed_fpm):>5}", "selected"),
        ),
        (
            (" HDG ", "label"),
            (f"  {_north(view.heading_deg)}", "value"),
            ("   set ", "label"),
            (f"  {_north(view.selected_heading_deg)}", "selected"),
        ),
        ((" TRK ", "label"), (f"  {_north(view.track_deg)}", "value"), (drift_text, "label")),
        ((" BANK", "label"), (f"  {bank:3.0f}°{side}", "value")),
        (
            (" TO THRESHOLD ", "label"),
            (distance, "value"),
            ("" if distance == "past" else " NM", "label"),
        ),
        ((" ON GROUND", "value"),) if view.is_on_ground else (),
    ]


def _signed(number: float) -> str:
    return f"{number:+.0f}" if round(number) else "0"


def _side(degrees: float) -> str:
    return "right" if degrees > 0.0 else "left"


def _north(degrees: float) -> str:
    whole = round(degrees) % 360
    return f"{whole or 360:03d}"
