"""The colour sets, by meaning. Every meaning also has a word or a shape where it is shown.

Own sets: dark, light and high-contrast. In each, what is active, selected, guidance, caution and
warning stays apart for people who see red, green or blue differently, and every colour stands out
from its ground; tests compute both. Reverse video is asked for as such and not by a background, so
that it also stands where no colour may be sent.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from rich.style import Style
from textual.theme import Theme


class Palette(NamedTuple):
    """One set of colours, each "#rrggbb"."""

    name: str
    is_dark: bool
    ground: str
    raised: str
    text: str
    label: str
    value: str
    active: str
    selected: str
    guidance: str
    caution: str
    warning: str
    rule: str

    def for_textual(self) -> Theme:
        """The set as the stylesheets see it."""
        return Theme(
            name=self.name,
            primary=self.selected,
            background=self.ground,
            surface=self.raised,
            foreground=self.text,
            dark=self.is_dark,
        )


_SETS = (
    Palette(
        "dark", True, ground="#101418", raised="#1c232a", text="#c8ccd0", label="#8a9299",
        value="#f0f2f4", active="#5fd787", selected="#5fd7ff", guidance="#e066ff",
        caution="#ffaf00", warning="#ff5f5f", rule="#454d55",
    ),
    Palette(
        "light", False, ground="#f7f5ef", raised="#e9e6dc", text="#30353b", label="#5c636b",
        value="#101418", active="#006b3c", selected="#0057b8", guidance="#8f1f8f",
        caution="#855400", warning="#800013", rule="#b9b5a8",
    ),
    Palette(
        "high-contrast", True, ground="#000000", raised="#000000", text="#ffffff",
        label="#d8d8d8", value="#ffffff", active="#4dffa6", selected="#5fe0ff",
        guidance="#e066ff", caution="#ffd000", warning="#ff7a6b", rule="#9a9a9a",
    ),
)  # fmt: skip
THEMES: dict[str, Palette] = {one.name: one for one in _SETS}
"""Every colour set by its name."""


def _styles(palette: Palette) -> dict[str, Style]:
    def bold(color: str, *, reverse: bool = False) -> Style:
        return Style(color=color, bold=True, reverse=reverse or None)

    return {
        "": Style(color=palette.text),
        "label": Style(color=palette.label),
        "value": bold(palette.value),
        "active": bold(palette.active),
        "active new": bold(palette.active, reverse=True),
        "armed": Style(color=palette.value),
        "armed new": Style(color=palette.value, reverse=True),
        "selected": bold(palette.selected),
        "guidance": bold(palette.guidance),
        "guidance new": bold(palette.guidance, reverse=True),
        "caution": bold(palette.caution),
        "warning": bold(palette.warning),
        "warning new": bold(palette.warning, reverse=True),
        "rule": Style(color=palette.rule),
        "cursor": Style(color=palette.selected, bgcolor=palette.ground, bold=True, reverse=True),
        "title": bold(palette.value),
    }


STYLES: dict[str, dict[str, Style]] = {one.name: _styles(one) for one in _SETS}
"""Rich style of each meaning, by colour set."""


class Looks(NamedTuple):
    """How panels are drawn: style of each meaning, and whether only ASCII may be sent."""

    styles: dict[str, Style]
    is_ascii: bool = False


_USUAL = Looks(STYLES["dark"])


def looks_of(app: Any) -> Looks:
    """The looks that `app` has settled; the usual ones for an app that settles none."""
    looks = getattr(app, "looks", _USUAL)
    assert isinstance(looks, Looks)
    return looks
