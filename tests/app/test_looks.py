"""Colour sets, the ASCII fall-back: what can be told apart, by whom, on which terminal."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.app.help import HandClock, Outside, screen_text
from trainer.app.app import TrainerApp
from trainer.app.launch import Start, can_draw
from trainer.app.settings import THEMES as NAMES
from trainer.app.settings import Settings
from trainer.app.widgets.palette import STYLES, THEMES, Palette
from trainer.text import in_ascii, width

APART = ("active", "selected", "guidance", "caution", "warning")
READ = ("text", "label", "value", *APART)
Matrix = tuple[tuple[float, float, float], ...]
# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes: A Physiologically-based Model for Simulation of
# Color Vision Deficiency (IEEE TVCG 15(6), 2009), severity 1.0, on linear RGB; figures from memory.
SEEN_BY: dict[str, Matrix] = {
    "everybody": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def linear(color: str) -> tuple[float, ...]:
    """Linear RGB 0..1 of "#rrggbb" (IEC 61966-2-1, as WCAG 2.2 quotes it)."""
    parts = (int(color[at : at + 2], 16) / 255.0 for at in (1, 3, 5))
    return tuple(one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)


def luminance(color: str) -> float:
    red, green, blue = linear(color)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def lab(rgb: tuple[float, ...]) -> tuple[float, float, float]:
    """CIE 1976 L*a*b* under D65 of linear sRGB."""
    red, green, blue = (min(max(one, 0.0), 1.0) for one in rgb)
    x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505
    y = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.089
    fx, fy, fz = (
        one ** (1 / 3) if one > 216 / 24389 else (24389 / 27 * one + 16) / 116 for one in (x, y, z)
    )
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def seen(color: str, matrix: Matrix) -> tuple[float, ...]:
    rgb = linear(color)
    return tuple(sum(row[at] * rgb[at] for at in range(3)) for row in matrix)


@pytest.mark.parametrize("palette", THEMES.values(), ids=list(THEMES))
def test_all_text_stands_out_from_both_grounds(palette: Palette) -> None:
    least = 7.0 if palette.name == "high-contrast" else 4.5  # WCAG 2.2: 1.4.6 and 1.4.3
    for meaning in READ:
        for ground in (palette.ground, palette.raised):
            assert contrast(getattr(palette, meaning), ground) >= least, (meaning, ground)


@pytest.mark.parametrize("kind", SEEN_BY)
@pytest.mark.parametrize("palette", THEMES.values(), ids=list(THEMES))
def test_meanings_stay_apart_for_every_kind_of_colour_vision(palette: Palette, kind: str) -> None:
    # A difference of 10 in CIE 1976 is seen at a glance; 2.3 is the least that is seen at all.
    for one, other in itertools.combinations(APART, 2):
        here, there = (lab(seen(getattr(palette, name), SEEN_BY[kind])) for name in (one, other))
        assert math.dist(here, there) >= 10.0, (one, other, math.dist(here, there))


def test_every_set_has_a_style_for_every_meaning() -> None:
    assert tuple(THEMES) == NAMES
    assert len({frozenset(styles) for styles in STYLES.values()}) == 1


def test_black_is_black_and_the_known_greatest_contrast_is_21() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert lab(linear("#ffffff"))[0] == pytest.approx(100.0)


@given(st.text(st.characters(exclude_categories=["Cs", "Cc", "Cf", "Zl", "Zp"])))
def test_ascii_text_takes_the_same_cells(text: str) -> None:
    drawn = in_ascii(text)
    assert drawn.isascii()
    assert width(drawn) == width(text)


def test_boxes_braille_and_letters_keep_their_shape_in_ascii() -> None:
    assert in_ascii("╭─╮│◆…×é⠉⣀") == "+-+|*~xe'_"


def test_a_terminal_without_boxes_is_found_by_its_encoding() -> None:
    assert can_draw("utf-8")
    assert not can_draw("latin-1")
    assert not can_draw("no such encoding")


@pytest.mark.parametrize("theme", NAMES)
async def test_every_set_flies_and_in_ascii_nothing_else_is_sent(theme: str) -> None:
    app = TrainerApp(
        Outside(), Start("straight-in"), HandClock(), settings=Settings(theme=theme), is_ascii=True
    )
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        assert app.screen.styles.background.hex.lower() == THEMES[theme].ground
        text = screen_text(app)
        assert "Straight in" in text
        assert text.isascii()
        await pilot.press("f2")
        await pilot.pause()
        assert "PAUSED" in screen_text(app)
        assert screen_text(app).isascii()
