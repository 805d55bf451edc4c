"""Builders with keyword overrides: rows, facts and a small exercise made by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from tests.world.types import twin_jet
from trainer.flight.acts import Act, Fact
from trainer.flight.row import Row
from trainer.guidance.modes import Modes, Selectors
from trainer.scenario.exercise import (
    Airport,
    Approach,
    Exercise,
    Fix,
    Flow,
    Gate,
    Glideslope,
    House,
    Item,
    Leg,
    Localizer,
    Runway,
    Start,
    Watch,
    Weather,
)
from trainer.scenario.phrases import PhraseBook

WORDS: dict[str, tuple[str, ...]] = {
    "localizer armed": ("localizer armed",),
    "localizer captured": ("localizer captured",),
    "glide armed": ("glide armed",),
    "glide captured": ("glide captured",),
    "path armed": ("path armed",),
    "path captured": ("path captured",),
    "autopilot off": ("autopilot off",),
    "glide alive": ("glide alive",),
    "distance check": ("DME {distance} altitude {altitude}",),
    "gear down": ("gear down",),
    "minimums": ("minimums",),
    "checked": ("checked",),
    "localizer": ("localizer",),
    "speed": ("speed",),
    "sink rate": ("sink rate",),
    "missed approach set": ("missed approach {altitude} set",),
    "read back approach": ("cleared approach {runway}", "cleared approach"),
    "read back descend": ("descend {altitude}",),
}

MODES = Modes("NAV", "ALT", (), (), "SPEED", "AP", "")
SELECTORS = Selectors(210.0, 140.0, 3000.0, 0.0, 140.0, "110.35", 1013.25, 230.0, 137.0)

_ROW = Row(
    step=0, x_m=0.0, y_m=0.0, height_m=914.4, altitude_ft=3000.0, height_ft=3000.0,
    radio_ft=3000.0, distance_nm=12.0, along_nm=12.0, flown_nm=0.0, dme_nm=12.1, cas_kt=210.0,
    ground_speed_kt=216.0, vertical_speed_fpm=0.0, heading_deg=140.0, track_deg=140.0,
    bank_deg=0.0, power=0.3, flap=0.0, flap_lever=0, gear=0.0, gear_lever="up", speedbrake=0.0,
    speedbrake_lever="in", spoilers="disarmed", autobrake="off", reverse="stowed",
    localizer="covered", localizer_dots=0.0, glide="received", glide_dots=-2.4,
    vor="none", vor_dots=None,
    path_error_ft=-900.0, cross_m=0.0, selectors=SELECTORS, modes=MODES, phase="intercept",
    sees="", margin_nm=5.0, is_on_ground=False, identified="IMRW", checklist="", challenge="",
)  # fmt: skip


def row(step: int = 0, **changes: Any) -> Row:
    """A row of a jet level at 3,000 ft, 12 NM out; keyword arguments replace fields."""
    return _ROW._replace(step=step, flown_nm=step * 0.006, **changes)


def modes(**changes: Any) -> Modes:
    """NAV and ALT with one autopilot, nothing armed."""
    return MODES._replace(**changes)


def press(step: int, control: str) -> tuple[Act, Fact]:
    """An accepted press and its fact."""
    return Act(step, 1, "pilot", "press", control), Fact(step, "acted", control)


def move(step: int, control: str, position: str) -> tuple[Act, Fact]:
    """An accepted lever movement and its fact."""
    return Act(step, 1, "pilot", "move", control, position), Fact(step, "acted", control, position)


def say(step: int, text: str, began: int | None = None) -> tuple[Act, Fact]:
    """A call opened at `began` (default: when it is sent) and its fact."""
    opened = step if began is None else began
    return Act(step, 1, "pilot", "say", text=text, began=opened), Fact(step, "said", "", text)


def exercise(
    items: tuple[Item, ...] = (),
    *,
    go_around: tuple[Item, ...] = (),
    watches: tuple[Watch, ...] = (),
    gates: tuple[Gate, ...] = (),
    announce: tuple[str, ...] = ("LOC", "GLIDE", "PATH", "LOC armed", "GLIDE armed", "PATH armed"),
    **changes: Any,
) -> Exercise:
    """A small exercise around the twin jet; keyword arguments replace fields of Exercise."""
    runway = Runway("14", 140.0, 2700.0, 0.0, "full", -30.0, -110.0)
    fix = Fix("ORVEN", -10000.0, 12000.0, 9.3)
    approach = Approach(
        "ILS 14", runway, Localizer("110.35", "IMRW", 140.0, 3000.0), Glideslope(3.0, 50.0), None,
        (Leg(fix),), fix, 3000.0, 230.0, 4000.0, (),
    )  # fmt: skip
    made = Exercise(
        name="hand-made",
        title="Hand-made",
        lesson="",
        level=1,
        brief="",
        callsign="Quill 27",
        airport=Airport("QXZZ", "Nowhere", 0.0, 0.0, "icao", 5000.0, (fix,)),
        approach=approach,
        aircraft=twin_jet(),
        flow=Flow("flow", "", items, go_around, watches, gates, (), announce, ()),
        house=House("house", tuple(WORDS.items()), (), ()),
        start=Start(0.0, 0.0, 140.0, 3000.0, 210.0, "0", "up", 58.0, 3000.0, 1013.25),
        weather=Weather(1013.25, 15.0, None, 9999.0, (), "dry", True),
        events=(),
        reference_kt=132.0,
        final_kt=137.0,
    )
    return replace(made, **changes)


def book(also: Mapping[str, tuple[str, ...]] | None = None) -> PhraseBook:
    """The phrase book of the small exercise, with more calls in it."""
    names = {"fix": ["ORVEN"], "ident": ["IMRW"], "callsign": ["Quill 27"]}
    return PhraseBook({**WORDS, **(also or {})}, {}, names)
