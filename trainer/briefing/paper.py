"""The procedure sheet as text for a terminal.

Owns sections and their order, and words; every figure comes from `sheet`. Surprising rule: what
the altitudes leave out (temperature) is said on the sheet itself, beside the table.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.briefing.ladders import Step
from trainer.briefing.layout import table, wrap
from trainer.briefing.route import arc_text, course_and_length
from trainer.briefing.sheet import Sheet
from trainer.briefing.tables import minutes_text
from trainer.scenario.atmosphere import air_of
from trainer.scenario.exercise import Approach, Exercise, Leg, RnpFinal, Speeds
from trainer.scenario.lessons import speeds
from trainer.units import DEG, KT
from trainer.world.morse import encode
from trainer.world.tables import feet_per_mile
from trainer.world.wind import components, head_and_cross

_LABEL_CELLS = 16
LADDER_WORDS = {
    "reference": "Reference: how a good crew does it",
    "last_chance": "Last chance: later than this the gate is not met, checklist included",
    "energy_limit": "Energy limit: all that drag can do; never a plan",
}


def sheet_text(made: Sheet, cells: int = 80) -> str:
    """The sheet in lines of at most `cells` cells (from 60)."""
    exercise = made.exercise
    airport, approach = exercise.airport, exercise.approach
    lines: list[str] = []

    def section(title: str, body: Sequence[str]) -> None:
        lines.extend(["", *wrap(title, cells), "=" * min(len(title), cells), *body])

    head = f"{airport.name} ({airport.code})  {approach.name}"
    lines += wrap(head, cells)
    lines += wrap(f"{exercise.title}: {exercise.lesson}", cells)
    lines += wrap(exercise.brief.rstrip("\n"), cells) if exercise.brief else []
    section("Figures", _figures(made, cells))
    section("Weather", _weather(exercise, cells))
    section("Procedure", _procedure(made, cells))
    section("Missed approach", _missed(exercise, cells))
    section("Distance and altitude", _path(made, cells))
    section("Rate of descent, and time from the final fix to the threshold", _rates(made, cells))
    section("Speeds and limits", _speeds(exercise, cells))
    for name, steps in made.ladders._asdict().items():
        section(LADDER_WORDS[name], _ladder(steps, cells))
    lines += ["", *wrap(made.notice, cells)]
    return "\n".join(lines) + "\n"


def _pairs(pairs: Sequence[tuple[str, str]], cells: int) -> list[str]:
    """Labels in a column of their own, each with its text wrapped beside it."""
    lines = []
    for label, text in pairs:
        for number, line in enumerate(wrap(text, cells - _LABEL_CELLS)):
            lines.append(f"{label if number == 0 else '':<{_LABEL_CELLS}}{line}")
    return lines


def _figures(made: Sheet, cells: int) -> list[str]:
    approach = made.exercise.approach
    localizer, glide, runway = approach.localizer, approach.glideslope, approach.runway
    usable, covered = _from(made.usable_from_nm), _from(made.covered_from_nm)
    received = f"level at {made.platform_ft:.0f} ft {usable}; guaranteed {covered}"
    if not glide.is_transmitted:
        received = "nowhere: not sent; the path is flown by distance and altitude"
    lateral = [
        (
            "localizer",
            f"{localizer.frequency} MHz, course {localizer.course_deg:03.0f}°, "
            f"{made.course_width_deg:.2f}° wide from full scale to full scale",
        ),
        ("ident", f"{localizer.ident}   {_morse(localizer.ident)}"),
    ]
    if approach.rnp is not None:
        lateral, received = _rnp(approach, approach.rnp)
    pairs = [
        *lateral,
        (
            "glide path" if approach.rnp is None else "path",
            f"{glide.angle_deg:.2f}°, {feet_per_mile(glide.angle_deg):.0f} ft per NM, "
            f"{glide.crossing_ft:.0f} ft over the threshold",
        ),
        ("glide received" if approach.rnp is None else "path holds", received),
        ("DME", "none" if approach.dme is None else "paired with the localizer"),
        (
            "runway",
            f"{runway.name}, {runway.length_m:.0f} m, threshold elevation "
            f"{runway.elevation_ft:.0f} ft, approach lights {runway.lights}",
        ),
        ("minimums", _minimums(approach)),
    ]
    if approach.steps:
        steps = ", ".join(f"{leg.fix.name} {leg.altitude_ft:.0f} ft" for leg in approach.steps)
        pairs.append(("steps", f"at or above: {steps}"))
    return _pairs(pairs, cells)


def _rnp(approach: Approach, final: RnpFinal) -> tuple[list[tuple[str, str]], str]:
    """The lines of a final by navigation position, and where its path holds."""
    course = (
        "final course",
        f"{approach.localizer.course_deg:03.0f}° by position, RNP {final.required_nm:g} NM: "
        "half of it is called, all of it ends the approach",
    )
    service = final.service
    if final.minimums_ft is not None:
        service += f"; once LNAV is left, the minimum is {final.minimums_ft:.0f} ft"
        service += f" ({final.descent_minimum_ft:.0f} ft and the add-on)"
    lines = [course, ("service", service)]
    if not final.is_barometric:
        return lines, "wherever the level of service does"
    holds = f"from {final.lowest_c:.0f} to {final.highest_c:.0f} °C at the field; it is one of the "
    return lines, f"{holds}altimeter, and moves with its setting"


def _minimums(approach: Approach) -> str:
    above_ft = approach.minimums_ft - approach.runway.elevation_ft
    text = f"{approach.minimums_ft:.0f} ft ({above_ft:.0f} ft above the threshold)"
    least_ft = approach.descent_minimum_ft
    if least_ft is None:
        return text
    add_on_ft = approach.minimums_ft - least_ft
    return f"{text}: minimum descent altitude {least_ft:.0f} ft and {add_on_ft:.0f} ft add-on"


def _morse(ident: str) -> str:
    """An ident in dots and dashes as sent; "" where a character has no code."""
    try:
        return encode(ident.replace("-", ""))
    except ValueError:
        return ""


def _from(distance_nm: float | None) -> str:
    return "nowhere" if distance_nm is None else f"from {distance_nm:.1f} NM"


def _deviation_c(exercise: Exercise) -> float:
    """Kelvin by which the air at the field is warmer than standard (colder negative)."""
    return air_of(exercise.weather, exercise.approach.runway).delta_isa_k


def _weather(exercise: Exercise, cells: int) -> list[str]:
    weather = exercise.weather
    ceiling = "no cloud" if weather.ceiling_ft is None else f"{weather.ceiling_ft:.0f} ft"
    deviation_c = _deviation_c(exercise)
    pairs = [
        ("QNH", f"{weather.qnh_hpa:.0f} hPa"),
        ("temperature", f"{weather.temperature_c:.0f} °C ({deviation_c:+.0f} against standard)"),
        ("ceiling", ceiling),
        ("visibility", f"{weather.visibility_m:.0f} m"),
        ("runway", f"{weather.runway}, lights {'on' if weather.lights_on else 'off'}"),
    ]
    if weather.is_icing:
        pairs.append(("icing", "yes: icing speeds of the type"))
    lines = _pairs(pairs, cells)
    course_rad = exercise.approach.localizer.course_deg * DEG
    rows = []
    for layer in weather.wind:
        head_ms, cross_ms = head_and_cross(*components(layer.from_deg, layer.speed_kt), course_rad)
        head_kt, cross_kt = round(head_ms / KT), round(cross_ms / KT)
        rows.append(
            [
                f"{layer.height_ft:.0f} ft",
                f"{layer.from_deg:03.0f}° {layer.speed_kt:.0f} kt",
                f"{abs(head_kt)} kt {'head' if head_kt >= 0 else 'tail'}",
                f"{abs(cross_kt)} kt {'right' if cross_kt >= 0 else 'left'}",
            ]
        )
    if rows:
        headers = ("wind at", "from", "along the course", "from the side")
        lines += ["", *table(headers, rows, cells, "rrrr")]
    return lines


def _procedure(made: Sheet, cells: int) -> list[str]:
    rows = []
    for passed, row in made.route:
        leg = passed.leg
        path = "" if row.path_curved_ft is None else f"{row.path_curved_ft:.0f}"
        rows.append(
            [
                leg.fix.name,
                f"{round(passed.course_deg) or 360:03d}°",
                f"{passed.leg_nm:.1f}",
                f"{row.distance_nm:.1f}",
                _optional(row.dme_nm, 1),
                _constraint(leg),
                path,
                f"{leg.speed_limit_kt:.0f}" if leg.speed_limit_kt else "",
            ]
        )
    headers = ("fix", "course", "leg", "NM", "DME", "published", "path ft", "max kt")
    lines = table(headers, rows, cells, "lrrrrlrr")
    final = made.exercise.approach.final_fix
    note = f"Legs in NM, the first from the start. The final descent begins at {final.name}."
    for passed, _ in made.route:
        if passed.leg.arc is not None:
            note += f" To {passed.leg.fix.name}: {arc_text(passed.leg)}, the course is its last."
    return [*lines, *wrap(note, cells)]


def _constraint(leg: Leg) -> str:
    return f"{leg.constraint} {leg.altitude_ft:.0f} ft" if leg.constraint else ""


def _missed(exercise: Exercise, cells: int) -> list[str]:
    approach = exercise.approach
    text = f"Climb to {approach.missed_altitude_ft:.0f} ft"
    x_m = y_m = 0.0
    for leg in approach.missed_legs:
        course_rad, _ = course_and_length(leg, x_m, y_m)
        x_m, y_m = leg.fix.x_m, leg.fix.y_m
        shown_deg = round(course_rad / DEG % 360.0) or 360
        way = arc_text(leg) or f"track {shown_deg:03d}°"
        text += f"; {way} to {leg.fix.name}"
        if leg.constraint:
            text += f", {_constraint(leg)}"
    return wrap(text + ".", cells)


def _path(made: Sheet, cells: int) -> list[str]:
    rows = [
        [
            row.fix or "",
            f"{row.distance_nm:.1f}",
            _optional(row.dme_nm, 1),
            f"{row.curved_ft:.0f}",
            f"{row.flat_ft:.0f}",
        ]
        for row in made.path
    ]
    headers = ("fix", "NM", "DME", "altitude ft", "flat earth ft")
    lines = table(headers, rows, cells, "lrrrr")
    deviation_c = _deviation_c(made.exercise)
    warmth = "warmer" if deviation_c > 0.0 else "colder"
    note = (
        "Altitudes on QNH in standard air; the first figure is the one flown (round earth), the "
        "second is for comparison with flat tables. The effect of temperature is not applied: "
    )
    if abs(deviation_c) < 0.5:
        return [*lines, "", *wrap(note + "today the air is standard.", cells)]
    shown = "less" if deviation_c > 0.0 else "more"
    note += (
        f"today the air is {abs(deviation_c):.0f} degrees {warmth} than standard, and on the path "
        f"the altimeter shows about {0.4 * abs(deviation_c):.0f} % of the height {shown} "
        "(4 % for each 10 degrees)."
    )
    return [*lines, "", *wrap(note, cells)]


def _rates(made: Sheet, cells: int) -> list[str]:
    rows = [
        [str(speed_kt), f"{rate_fpm:.0f}", minutes_text(time_s)]
        for (speed_kt, rate_fpm), (_, time_s) in zip(made.descent_rate, made.timing, strict=True)
    ]
    return table(("ground speed kt", "ft/min", "time"), rows, cells, "rrr")


def _with_ice(exercise: Exercise) -> Speeds | None:
    """The speeds of the icing table while the normal one holds; None where there is only one."""
    if exercise.before_ice is not None:
        return exercise.speeds_at(True)
    iced = exercise.aircraft.in_icing()
    if iced is exercise.aircraft:
        return None
    course_deg = exercise.approach.runway.course_deg
    return speeds(iced, exercise.start.mass_t, exercise.weather, course_deg)


def _speeds(exercise: Exercise, cells: int) -> list[str]:
    now = exercise.speeds_at(exercise.weather.is_icing)
    text = (
        f"Reference {now.reference_kt:.0f} kt, final approach {now.final_kt:.0f} kt at "
        f"{exercise.start.mass_t:.1f} t ({exercise.aircraft.title})."
    )
    if (iced := _with_ice(exercise)) is not None:
        text += f" With ice: reference {iced.reference_kt:.0f} kt, final {iced.final_kt:.0f} kt."
    lines = wrap(text, cells)
    rows = [
        [f"flap {stage.name}", f"{stage.limit_kt:.0f}"]
        for stage in exercise.aircraft.flaps
        if stage.limit_kt is not None
    ]
    gear = exercise.aircraft.gear
    for name, limit_kt in (
        ("gear, extending", gear.extend_limit_kt),
        ("gear, extended", gear.extended_limit_kt),
        ("gear, retracting", gear.retract_limit_kt),
    ):
        if limit_kt is not None and not gear.is_fixed:
            rows.append([name, f"{limit_kt:.0f}"])
    rows.append(["maximum", f"{exercise.aircraft.max_speed_kt:.0f}"])
    return [*lines, *table(("limit", "kt"), rows, cells, "lr")]


def _ladder(steps: Sequence[Step], cells: int) -> list[str]:
    if not steps:
        return ["none"]
    rows = [
        [
            step.step,
            _optional(step.distance_nm, 1),
            "" if step.altitude_ft is None else f"{round(step.altitude_ft, -1) + 0.0:.0f}",
            _optional(step.cas_kt, 0),
        ]
        for step in steps
    ]
    return table(("step", "NM", "altitude ft", "speed kt"), rows, cells, "lrrr")


def _optional(value: float | None, decimals: int) -> str:
    return "" if value is None else f"{value:.{decimals}f}"
