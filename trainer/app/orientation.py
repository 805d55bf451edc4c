"""The page behind `?` on the home screen: what this program is, its levels, keys and settings.

Owns the words. Surprising rule: the safety notice comes first, before anything that invites one to
fly.
"""

from __future__ import annotations

from pathlib import Path

from trainer import __version__
from trainer.app.glossary import terms
from trainer.app.pages import sections
from trainer.app.settings import Settings
from trainer.text import NOTICE

_KEYS = (
    ("↑ ↓", "choose an exercise"),
    ("/", "filter: type a part of a name, a title or a lesson, or due; Enter keeps it"),
    ("d", "the next exercise that is due to be flown again"),
    ("1 2 3", "level: guided, coached, check"),
    ("Enter", "fly"),
    ("s", "set up and brief, then fly"),
    ("o", "settings: looks, sound, level and every key"),
    ("t", "the guided tour: two minutes, flown, not kept"),
    ("b", "brief: plan, profile, sheet"),
    ("g", "segments: one part of the flight, again and again"),
    ("h", "history"),
    ("r", "resume the unfinished attempt"),
    ("F10", "quit"),
)
_LEVELS = (
    ("guided", "time stops at each step; the step, its keys and its reason are told"),
    ("coached", "time runs, up to eight times faster; a hint once a step is due; {pause} pauses"),
    ("check", "no help, no pause, new values each time; the only level that counts"),
)
_COLUMN = 12


def about_lines(settings: Settings, file: Path) -> list[str]:
    """The page, in lines to be wrapped by whoever shows it."""
    pause, help_ = settings.keymap.shown("pause"), settings.keymap.shown("help")
    ascii_words = {None: "as the terminal can", True: "always", False: "never"}
    settled = (
        ("theme", settings.theme),
        ("ascii", ascii_words[settings.ascii]),
        ("bell", "on" if settings.bell else "off"),
        ("level", settings.level),
        ("file", str(file)),
    )
    return [
        NOTICE,
        "",
        f"Approach Drill {__version__}. Every type, place and call sign in it is invented.",
        *_section("KEYS OF THE HOME SCREEN", _KEYS),
        *_section("WHAT STANDS WHERE", sections()["Home"]),
        *_section("LEVELS", tuple((name, text.format(pause=pause)) for name, text in _LEVELS)),
        "",
        f"In flight {help_} lists every key; Tab then explains one pane after the other.",
        *_section("SETTINGS (o changes them)", settled),
        *_section("GLOSSARY", tuple(terms().items())),
    ]


def _section(title: str, pairs: tuple[tuple[str, str], ...]) -> list[str]:
    room = max(_COLUMN, max(len(name) for name, _ in pairs) + 2)
    return ["", title, *(f"  {name:<{room}}{text}" for name, text in pairs)]
