"""Morse idents, DME and VOR."""

from __future__ import annotations

import math
from collections.abc import Callable

from tests.published.record import Bounds, Check
from trainer.units import DEG, FT, NM
from trainer.world import morse
from trainer.world.dme import DmeStation
from trainer.world.vor import VorStation, ambiguity

ANNEX = "ICAO Annex 10 Vol I, 3.1.3.9.4"
ITU = "Recommendation ITU-R M.1677-1, annex 1"
CODES = (
    "A .- B -... C -.-. D -.. E . F ..-. G --. H .... I .. J .--- K -.- L .-.. M -- N -. O --- "
    "P .--. Q --.- R .-. S ... T - U ..- V ...- W .-- X -..- Y -.-- Z --.."
)


def _as_number(code: str) -> float:
    """A code as a number, so that it can be compared: 1 for a dot, 3 for a dash, in base ten."""
    return float(code.replace(".", "1").replace("-", "3"))


def _letter(sign: str, code: str) -> Check:
    return Check(f"code of {sign} (1 dot, 3 dash)", ITU, "published", _as_number(code), 0, "marks",
                 lambda: _as_number(morse.encode(sign)))  # fmt: skip


def _tones() -> tuple[float, ...]:
    return tuple(sorted({e.duration_s for e in morse.ident_elements("I-QXA") if e.is_on}))


def _gaps() -> tuple[float, ...]:
    return tuple(sorted({e.duration_s for e in morse.ident_elements("I-QXA") if not e.is_on}))


def _idents_for_one() -> float:
    senders = [morse.sender_at(morse.SLOT_S * (slot + 0.5)) for slot in range(120)]
    return senders.count("localizer") / senders.count("dme")


def _units(text: str) -> Callable[[], float]:
    return lambda: morse.duration_s(morse.elements(text, 1.0))


def _dme_nm(ground_nm: float, height_ft: float) -> float:
    return DmeStation(0.0, 0.0).distance_nm(0.0, -ground_nm * NM, height_ft * FT)


def _is_read(distance_nm: float, height_ft: float) -> float:
    station = DmeStation(0.0, 0.0)
    return float(station.receive(0.0, -distance_nm * NM, height_ft * FT).is_received)


def _vor_dots(radial_deg: float, course_deg: float) -> Callable[[], float]:
    x_m, y_m = 9 * NM * math.sin(radial_deg * DEG), 9 * NM * math.cos(radial_deg * DEG)
    course = VorStation(0.0, 0.0).course(course_deg * DEG)
    return lambda: course.receive(x_m, y_m, 900.0).dots


def _is_to(radial_deg: float, course_deg: float) -> Callable[[], float]:
    x_m, y_m = 9 * NM * math.sin(radial_deg * DEG), 9 * NM * math.cos(radial_deg * DEG)
    course = VorStation(0.0, 0.0).course(course_deg * DEG)
    return lambda: float(ambiguity(course.receive(x_m, y_m, 900.0)) == "TO")


def _cone_ft() -> float:
    """Radius of the VOR cone at 6 000 ft."""
    station = VorStation(0.0, 0.0)
    return next(feet for feet in range(20_000)
                if not station.is_in_cone(0.0, -feet * FT, 6000 * FT))  # fmt: skip


CHECKS: tuple[Check, ...] = (
    *(_letter(sign, code) for sign, code in zip(*[iter(CODES.split())] * 2, strict=True)),
    Check("dot of an ident", ANNEX, "published", Bounds(0.1, 0.160), 0, "s",
          lambda: _tones()[0]),
    Check("dash of an ident in dots", ANNEX, "published", 3, 1e-9, "dots",
          lambda: _tones()[1] / _tones()[0]),
    Check("gap inside a letter in dots", ANNEX, "published", Bounds(0.9, 1.1), 0, "dots",
          lambda: _gaps()[0] / _tones()[0]),
    Check("gap between letters in dots", ANNEX, "published", Bounds(3, math.inf), 1e-9, "dots",
          lambda: _gaps()[1] / _tones()[0]),
    Check("idents a minute", ANNEX, "published", Bounds(6, math.inf), 1e-9, "1/min",
          lambda: 60.0 / morse.IDENT_PERIOD_S),
    Check("ident tone", "FAA AIM 1-1-7; ICAO Annex 10 Vol I, 3.1.3.9", "published", 1020, 0, "Hz",
          lambda: float(morse.IDENT_TONE_HZ)),
    Check("elements sent under maintenance", ANNEX + ": suppressed when not available",
          "published", 0, 0, "elements",
          lambda: float(len(morse.ident_elements(morse.sent_ident("I-QXA", "maintenance"))))),
    Check("letter I", ITU, "computed", 3, 0, "units", _units("I")),
    Check("letters IA", ITU, "computed", 11, 0, "units", _units("IA")),
    Check("words I A", ITU + ": 7 units between words", "computed", 15, 0, "units",
          _units("I A")),
    Check("PARIS with its word gap, the measure of speed", "telegraph practice", "computed", 50,
          0, "units", lambda: _units("PARIS")() + 7),
    Check("DME ident tone", "FAA AIM 1-1-7", "published", 1350, 0, "Hz",
          lambda: float(morse.DME_TONE_HZ)),
    Check("period of a DME ident", "FAA AIM 1-1-7: about every 30 s", "published", 30, 0, "s",
          lambda: morse.SLOT_S * morse.SLOTS),
    Check("localizer idents for one of its DME", "FAA AIM 1-1-7: three or four", "published",
          Bounds(3, 4), 0, "idents", _idents_for_one),
    Check("ground distance 4.90 NM at 6 000 ft: DME", "radio navigation exam, worked example",
          "published", 5.0, 0.01, "NM", lambda: _dme_nm(4.90, 6000)),
    Check("overhead at 6 000 ft: DME", "hand calculation, 6 000/6 076", "computed", 0.99, 0.005,
          "NM", lambda: _dme_nm(0.0, 6000)),
    Check("DME read at 198 NM and 40 000 ft", "FAA AIM 1-1-7 b: up to 199 NM", "published", 1, 0,
          "0/1", lambda: _is_read(198.0, 40_000)),
    Check("DME read at 199.5 NM and 40 000 ft", "FAA AIM 1-1-7 b: up to 199 NM", "published", 0,
          0, "0/1", lambda: _is_read(199.5, 40_000)),
    Check("DME read below the horizon, 80 NM at 3 000 ft", "FAA AIM 1-1-7 b: line of sight",
          "published", 0, 0, "0/1", lambda: _is_read(80.0, 3_000)),
    *(
        Check(f"VOR, radial {radial:03d}, course {course:03d}",
              "five dots of 2° (12° and more in the FAA Instrument Flying Handbook)",
              "rule of thumb", dots, 1e-6, "dots", _vor_dots(radial, course))
        for radial, course, dots in ((95, 90, 1.0), (100, 90, 2.0), (80, 90, -2.0),
                                     (275, 90, -1.0), (2, 357, 1.0))
    ),
    Check("VOR, radial 270, course 090: TO", "common practice", "rule of thumb", 1, 0, "0/1",
          _is_to(270, 90)),
    Check("VOR, radial 090, course 090: TO", "common practice", "rule of thumb", 0, 0, "0/1",
          _is_to(90, 90)),
    Check("VOR, 5° at 10 NM in miles (60 to 1)", "rule of the trade, 5 × 10/60", "rule of thumb",
          0.833, 0.045, "NM", lambda: VorStation(0.0, 0.0).course(0.0).receive(
              10 * NM * math.sin(5 * DEG), 10 * NM * math.cos(5 * DEG), 900.0).offset_m / NM),
    Check("radius of the VOR cone at 6 000 ft",
          "ICAO Doc 8168 Vol I, I-2-2, 2.4.4.1: 50° from the vertical", "published", 7150.5, 1,
          "ft", _cone_ft),
)  # fmt: skip
