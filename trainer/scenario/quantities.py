"""Quantities as text: a number and its unit, read by one ASCII pattern and never guessed.

Owns the units of the format, what each may be converted to, and the resolution at which a drawn
value is shown. Knows no key and no bound (the vocabulary does). Surprising rule: a number without
its unit is an error, because "8" could be seconds, miles or dots.
"""

from __future__ import annotations

import math
import re

from trainer.errors import nearest, sentence_of, with_article
from trainer.text import code_of, quoted
from trainer.units import FT, HPA_PER_INHG, KT, NM
from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: its dimension, the factor and offset to that dimension's base, and the resolution
    (in this unit) to which a drawn value is rounded."""

    name: str
    dimension: str
    factor: float
    offset: float = 0.0
    resolution: float = 1.0


_UNITS = (
    Unit("s", "time", 1.0),
    Unit("min", "time", 60.0),
    Unit("kt", "speed", KT),
    Unit("m/s", "speed", 1.0),
    Unit("km/h", "speed", 1.0 / 3.6),
    Unit("ft/s", "speed", FT, resolution=0.1),
    Unit("ft/min", "climb rate", 1.0, resolution=10.0),
    Unit("ft", "length", FT, resolution=10.0),
    Unit("m", "length", 1.0, resolution=10.0),
    Unit("NM", "length", NM, resolution=0.1),
    Unit("km", "length", 1000.0, resolution=0.1),
    Unit("hPa", "pressure", 1.0),
    Unit("inHg", "pressure", HPA_PER_INHG, resolution=0.01),
    Unit("C", "temperature", 1.0),
    Unit("F", "temperature", 5.0 / 9.0, offset=-32.0),
    Unit("deg", "angle", 1.0),
    Unit("dot", "deviation", 1.0, resolution=0.1),
    Unit("dots", "deviation", 1.0, resolution=0.1),
    Unit("t", "mass", 1.0, resolution=0.1),
    Unit("kg", "mass", 0.001, resolution=100.0),
    Unit("MHz", "frequency", 1.0, resolution=0.05),
    Unit("kN", "force", 1.0, resolution=0.1),
    Unit("kW", "power", 1.0),
    Unit("m2", "area", 1.0, resolution=0.1),
    Unit("kt/s", "acceleration", KT, resolution=0.1),
    Unit("m/s2", "acceleration", 1.0, resolution=0.1),
    Unit("g", "acceleration", 9.80665, resolution=0.01),
    Unit("fix", "place on the legs", 1.0),
    Unit("percent", "share", 1.0),
    Unit("deg/s", "turn rate", 1.0, resolution=0.1),
)

UNITS: dict[str, Unit] = {unit.name: unit for unit in _UNITS}
"""Every unit of the format by its name."""

NUMBER = r"[+-]?[0-9]{1,6}(?:\.[0-9]{1,6})?"
"""The one pattern of a number: at most six digits on each side of the point."""

_ALSO_CALLED = {
    "mb": "hPa", "mbar": "hPa", "knots": "kt", "kn": "kt", "feet": "ft", "foot": "ft",
    "miles": "NM", "nmi": "NM", "metres": "m", "meters": "m", "degrees": "deg", "sec": "s",
    "seconds": "s", "minutes": "min", "fpm": "ft/min", "mhz": "MHz", "tons": "t", "tonnes": "t",
}  # fmt: skip
"""What people write for a unit, and the unit."""

_SIGNS = {"°C": "C", "°F": "F", "°": "deg", "º": "deg"}
"""Signs that people write for a unit, and the unit."""

_DECIMAL_COMMA = re.compile(r"[0-9]+,[0-9]{1,2}(?![0-9])")
_NUMBER = re.compile(NUMBER)
_FLIGHT_LEVEL = re.compile(r"FL ?([0-9]{1,3})", re.IGNORECASE)
_QUANTITY = re.compile(rf"({NUMBER}) ?([A-Za-z][A-Za-z/0-9]{{0,7}})")


class QuantityError(ValueError):
    """A text that is no quantity of the wanted unit; the message says what was expected."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit, as written."""

    value: float
    unit: Unit

    def in_unit(self, name: str) -> float:
        """The number in unit `name` of the same dimension.

        A value written in `name` itself comes back unchanged (no rounding by conversion).
        """
        target = UNITS[name]
        if target.dimension != self.unit.dimension:
            raise QuantityError(f"{self.unit.name} cannot be given in {name}")
        if target.factor == self.unit.factor and target.offset == self.unit.offset:
            return self.value
        base = (self.value + self.unit.offset) * self.unit.factor
        return base / target.factor - target.offset


def units_like(name: str) -> list[str]:
    """Names of all units of the dimension of `name`, that one first."""
    dimension = UNITS[name].dimension
    others = [u.name for u in _UNITS if u.dimension == dimension and u.name not in (name, "dots")]
    return [name, *others]


def parse_number(text: str) -> float:
    """A plain number (no unit). QuantityError if `text` is anything else."""
    if not _NUMBER.fullmatch(text):
        raise QuantityError(f"{quoted(text)} is not a number; expected digits, such as 12 or 0.5")
    return float(text)


def parse(text: str, unit: str, low: float = -math.inf, high: float = math.inf) -> Quantity:
    """The quantity that `text` writes, in a unit of the dimension of `unit`.

    Args:
        text: a number and a unit, such as `18 NM`; one space or none between them.
        unit: name of the unit in which the value is wanted; its dimension decides.
        low, high: bounds in `unit`, by which a missing unit is guessed for the message.

    Returns:
        The quantity as written (see `Quantity.in_unit`).

    Raises:
        QuantityError: no number, no unit, an unknown unit or one of another dimension.
    """
    match = _QUANTITY.fullmatch(text)
    found = None if match is None else UNITS.get(match[2])
    if match is not None and found is not None and found.dimension == UNITS[unit].dimension:
        return Quantity(float(match[1]), found)
    accepted = units_like(unit)
    expected = f"expected a number with {sentence_of(accepted)}"
    if match is None:
        if _NUMBER.fullmatch(text):
            example = _with_unit(text, accepted, low, high)
            raise QuantityError(f"{quoted(text)} has no unit; {expected}, such as {example}")
        raise QuantityError(f"{quoted(text)} is not a quantity; {expected}{_hint(text, accepted)}")
    number, name = match.groups()
    near = _meant(name, accepted) if found is None else ""
    hint = f'; did you mean "{number} {near}"?' if near else ""
    if "deg" in accepted and name in ("E", "W"):
        east = number if name == "E" else f"-{number}"
        hint = f'; east is positive, west negative: "{east} deg"'
    what = "is no unit" if found is None else f"is {with_article(found.dimension)}"
    raise QuantityError(f"{quoted(text)}: {name} {what}; {expected}{hint}")


def _meant(name: str, accepted: list[str]) -> str:
    """The unit of `accepted` that somebody means by `name`, or ""."""
    common = _ALSO_CALLED.get(name.lower(), "")
    return common if common in accepted else nearest(name, accepted)


def _with_unit(number: str, accepted: list[str], low: float, high: float) -> str:
    """`number` with the first unit in which it lies within bounds given in the first unit."""
    for name in accepted:
        if low <= Quantity(float(number), UNITS[name]).in_unit(accepted[0]) <= high:
            return f"{number} {name}"
    return f"{number} {accepted[0]}"


def _hint(text: str, accepted: list[str]) -> str:
    for sign, name in _SIGNS.items():
        meant = text.replace(sign, f" {name}").replace("  ", " ").strip()
        if sign in text and name in accepted and _QUANTITY.fullmatch(meant):
            return f'; did you mean "{meant}"?'
    blank = next((one for one in text if one.isspace() and one != " "), "")
    if blank:
        return f"; the blank in it is {code_of(blank)}; write an ordinary one"
    if _DECIMAL_COMMA.match(text):
        return "; write a decimal point, not a comma"
    if "_" in text or "," in text:
        return "; write the digits without separators"
    if ":" in text:
        return "; a time is given in s or min"
    if "ft" in accepted and (level := _FLIGHT_LEVEL.fullmatch(text)):
        return f'; a level is given as an altitude, such as "{level[1]}00 ft"'
    if not text.isascii():
        return "; write ASCII digits and units"
    return ""


def written(value: float, unit: str) -> str:
    """A value and unit as the format writes them, without needless decimals."""
    return f"{plain_number(value)} {unit}"


def plain_number(value: float) -> str:
    """A number as the format writes it: no exponent, at most four decimals, no trailing zeros."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def rounded(value: float, unit: str) -> float:
    """`value` rounded to the resolution at which `unit` is displayed."""
    step = UNITS[unit].resolution
    places = 0 if step >= 1 else 2
    return round(round(value / step) * step, places)
