"""A number needs its unit, and is never guessed."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.scenario import quantities
from trainer.scenario.quantities import QuantityError, parse, parse_number


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("8 s", "s", 8.0),
        ("2 min", "s", 120.0),
        ("18NM", "NM", 18.0),
        ("-1000 ft/min", "ft/min", -1000.0),
        ("+5 kt", "kt", 5.0),
        ("027 deg", "deg", 27.0),
        ("1 dot", "dot", 1.0),
        ("2.5 dots", "dot", 2.5),
        ("110.35 MHz", "MHz", 110.35),
        # Exact by definition: 1 NM = 1852 m, 1 ft = 0.3048 m.
        ("1852 m", "NM", 1.0),
        ("3048 m", "ft", 10000.0),
        ("1 NM", "m", 1852.0),
        # 1 kt = 1852 m per hour.
        ("1.852 km/h", "kt", 1.0),
        # 29.92 inHg is 1013.2 hPa (ICAO Annex 5: 33.8639 hPa per inch of mercury).
        ("29.92 inHg", "hPa", 1013.2075888),
        # 50 °F is 10 °C, -40 is the same in both.
        ("50 F", "C", 10.0),
        ("-40 F", "C", -40.0),
        ("58000 kg", "t", 58.0),
    ],
)
def test_a_quantity_is_read_in_the_wanted_unit(text: str, unit: str, value: float) -> None:
    assert parse(text, unit).in_unit(unit) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "8", "s", "", " 8 s", "8  s", "8 s ", "1_000 ft", "1,000 ft", "٣ ft", "３ ft", "nan ft",
        "inf ft", "1e3 ft", "0x10 ft", "12:30", "1 000 ft", "1234567 ft", "1.1234567 ft", "1. ft",
        ".5 ft", "--1 ft", "8 seconds", "8 S", "8 nm", "8 KT", "8 kt kt", "8 ft\n", "½ NM",
    ],
)  # fmt: skip
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse(text, "ft")


def test_another_dimension_is_refused_by_name() -> None:
    with pytest.raises(QuantityError, match="kt is a speed; expected a number with ft, m, NM"):
        parse("3000 kt", "ft")


def test_a_missing_unit_is_shown_with_an_example() -> None:
    with pytest.raises(QuantityError, match="such as 200 kt"):
        parse("200", "kt")


@pytest.mark.parametrize("text", ["010", "1.5", "-3", "+2"])
def test_a_plain_number_is_decimal(text: str) -> None:
    assert parse_number(text) == float(text)


@given(st.floats(-99999, 99999).map(lambda value: round(value, 4)))
def test_what_is_written_is_read_again(value: float) -> None:
    text = quantities.written(value, "ft")
    assert parse(text, "ft").in_unit("ft") == pytest.approx(value, abs=5e-5)


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    with suppress(QuantityError):
        assert parse(text, "kt").unit.dimension == "speed"


def test_a_drawn_value_has_the_resolution_of_its_unit() -> None:
    assert quantities.rounded(17.4, "kt") == 17.0
    assert quantities.rounded(613.0, "ft") == 610.0
    assert quantities.rounded(5.678, "NM") == 5.7
    assert quantities.rounded(29.9234, "inHg") == 29.92
