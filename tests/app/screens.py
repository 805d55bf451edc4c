"""Every screen of the app, each built with nasty texts wherever a file may put one.

Tests that must hold for all screens go through `SCREENS`; a screen that is missing there fails one.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

from textual.screen import Screen

import trainer.app.screens
from tests.app.help import driver, straight_in
from tests.app.test_app import Bench
from tests.report.test_renderers import nasty_debrief
from trainer.app.debriefing import debrief_text
from trainer.app.driver import Driver
from trainer.app.listing import Listed
from trainer.app.own_segment import nameable
from trainer.app.profile import sample_of
from trainer.app.screens.base import BaseScreen, SizedScreen
from trainer.app.screens.brief import BriefScreen
from trainer.app.screens.controls import ControlsScreen
from trainer.app.screens.debrief import DebriefScreen
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.overlay import (
    AgainOverlay,
    BackOverlay,
    LeaveOverlay,
    Overlay,
    PauseOverlay,
)
from trainer.app.screens.own_segment import OwnSegmentScreen
from trainer.app.screens.preparation import PreparationScreen
from trainer.app.screens.replay import Flown, ReplayScreen
from trainer.app.screens.segment_lists import SegmentListScreen
from trainer.app.screens.segments import SegmentsScreen
from trainer.app.screens.settings import SettingsScreen
from trainer.app.screens.text import TextScreen
from trainer.app.screens.tour import TourScreen
from trainer.app.segments import Reference, Work, reference_of
from trainer.app.settings import Settings, parse
from trainer.app.settling import Change, changed
from trainer.briefing.sheet import Sheet, flown_sheet
from trainer.crew.session import Session
from trainer.report.debrief import debrief
from trainer.scenario.exercise import Exercise

NASTY = "[/foo] [red]x[/red] \x1b[2J \u202e {title} [@click=app.quit]here[/] \\["
Build = Callable[[Bench], Screen[Any]]


@cache
def nasty_exercise() -> Exercise:
    """The straight-in with nasty texts where an author writes freely."""
    exercise = straight_in()
    return replace(
        exercise,
        title=NASTY, lesson=NASTY, brief=NASTY,
        airport=replace(exercise.airport, name=NASTY),
        approach=replace(exercise.approach, name=NASTY),
    )  # fmt: skip


def nasty_driver(level: str) -> Driver:
    """A driver of that exercise, with nasty lines in its log."""
    made = Driver(Session(nasty_exercise()), level)
    made.advance(0.0)
    made.scribe.say_again(0, NASTY)
    return made


@cache
def sheet() -> Sheet:
    """The sheet of that exercise."""
    return flown_sheet(nasty_exercise())


@cache
def reference() -> Reference:
    """The reference flight, its first step named nastily."""
    found = reference_of(straight_in())
    first, *others = found.work
    part, *parts = found.parts
    renamed = replace(part.part, name=NASTY)
    return found._replace(
        work=(Work(NASTY, first.step, first.distance_nm), *others),
        parts=(part._replace(part=renamed), *parts),
    )


@cache
def flown() -> Flown:
    """Twenty seconds of flight."""
    made = driver("check")
    while made.row.step < 200:
        made.session.step([])
    flight = made.session.flight
    told = debrief(made.session.judgement(), straight_in(), flight.rows, flight.facts).timeline
    return Flown(nasty_exercise(), flight.rows, flight.facts, told)


def _home(_at: Bench) -> Screen[Any]:
    listed = [
        Listed(NASTY, NASTY, NASTY, 1, NASTY, NASTY, NASTY),
        Listed("broken", NASTY, "", 2, "", "", problem=NASTY),
    ]
    return HomeScreen(
        listed, NASTY, 3, lambda: {NASTY: 0}, lambda name: sample_of(nasty_exercise())
    )


def _debrief(at: Bench) -> Screen[Any]:
    return DebriefScreen(
        debrief_text(nasty_debrief(NASTY)), at.clock, [NASTY],
        lambda item: [NASTY], lambda item, wish: (False, NASTY),
    )  # fmt: skip


def _segments(_at: Bench) -> Screen[Any]:
    return SegmentsScreen("x", NASTY, reference().parts, lambda part: (50.0,), "coached")


def _own_segment(_at: Bench) -> Screen[Any]:
    names = nameable(straight_in())
    return OwnSegmentScreen("x", NASTY, reference(), names, lambda part: (50.0,), "coached")


def _settled(change: Change) -> Settings:
    return parse(changed("", change), NASTY)


SCREENS: dict[str, tuple[type[Screen[Any]], Build]] = {
    "home": (HomeScreen, _home),
    "brief": (BriefScreen, lambda at: BriefScreen(sheet())),
    "preparation": (
        PreparationScreen, lambda at: PreparationScreen(nasty_driver("coached"), at.clock),
    ),
    "flight, check": (FlightScreen, lambda at: FlightScreen(nasty_driver("check"), at.clock)),
    "flight, guided": (FlightScreen, lambda at: FlightScreen(nasty_driver("guided"), at.clock)),
    "flight, coached": (FlightScreen, lambda at: FlightScreen(nasty_driver("coached"), at.clock)),
    "pause": (PauseOverlay, lambda at: PauseOverlay()),
    "again": (AgainOverlay, lambda at: AgainOverlay()),
    "back": (BackOverlay, lambda at: BackOverlay()),
    "leave": (LeaveOverlay, lambda at: LeaveOverlay()),
    "debrief": (DebriefScreen, _debrief),
    "replay": (ReplayScreen, lambda at: ReplayScreen(flown(), at.clock)),
    "segments": (SegmentsScreen, _segments),
    "own segment": (OwnSegmentScreen, _own_segment),
    "tour": (TourScreen, lambda at: TourScreen(nasty_driver("guided"), at.clock)),
    "settings": (SettingsScreen, lambda at: SettingsScreen(Settings(), NASTY, _settled)),
    "text": (TextScreen, lambda at: TextScreen(NASTY, [NASTY] * 60)),
}  # fmt: skip
"""Every screen by name: its class, and how it is built on a bench."""


BASES = {BaseScreen, ControlsScreen, Overlay, SegmentListScreen, SizedScreen}
"""Classes that only other screens build on."""


def classes() -> set[type[Screen[Any]]]:
    """Every class of screen that the program has, but for those that only others build on."""
    found: set[type[Screen[Any]]] = set()
    for module in pkgutil.iter_modules(trainer.app.screens.__path__):
        loaded = importlib.import_module(f"trainer.app.screens.{module.name}")
        found |= {
            one
            for one in vars(loaded).values()
            if isinstance(one, type)
            and issubclass(one, Screen)
            and one.__module__ == loaded.__name__
        }
    return {one for one in found if one.__module__.startswith("trainer.")} - BASES
