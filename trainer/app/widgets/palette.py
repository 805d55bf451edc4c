"""The one colour set, by meaning. Every meaning also has a word or a shape where it is shown.

green active · white armed · cyan selected · magenta computed guidance · amber caution · red
warning. Reverse video is asked for as such and not by a background, so that it also stands where
no colour may be sent.
"""

from __future__ import annotations

from rich.style import Style

STYLES: dict[str, Style] = {
    "": Style(color="#c8ccd0"),
    "label": Style(color="#8a9299"),
    "value": Style(color="#f0f2f4", bold=True),
    "active": Style(color="#5fd787", bold=True),
    "active new": Style(color="#5fd787", bold=True, reverse=True),
    "armed": Style(color="#f0f2f4"),
    "armed new": Style(color="#f0f2f4", reverse=True),
    "selected": Style(color="#5fd7ff", bold=True),
    "guidance": Style(color="#ff87ff", bold=True),
    "guidance new": Style(color="#ff87ff", bold=True, reverse=True),
    "caution": Style(color="#ffaf00", bold=True),
    "warning": Style(color="#ff5f5f", bold=True),
    "warning new": Style(color="#ff5f5f", bold=True, reverse=True),
    "rule": Style(color="#454d55"),
    "cursor": Style(color="#5fd7ff", bgcolor="#101418", bold=True, reverse=True),
    "title": Style(color="#f0f2f4", bold=True),
}
"""Rich style of each meaning."""
