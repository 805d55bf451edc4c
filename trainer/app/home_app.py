"""The application at its home screen: the list, and the pages that are read from there.

It owns looks and settings, and which page follows which. It knows no flight: `app` adds that.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from textual.app import App
from textual.binding import Binding
from textual.screen import Screen

from trainer.app.messages import (
    AboutRequested,
    BriefRequested,
    HistoryRequested,
    HomeRequested,
    LeaveRequested,
    SettingsRequested,
    Settled,
)
from trainer.app.settings import Settings
from trainer.app.widgets.palette import STYLES, THEMES, Looks
from trainer.errors import UserError

if TYPE_CHECKING:
    from trainer.app.screens.home import HomeScreen
    from trainer.app.services import Services
    from trainer.scenario.exercise import Exercise


class HomeApp(App[int], inherit_bindings=False):
    """Home, and the sheet, the history, the settings and the page about the program."""

    TITLE = "Approach Drill"
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = ""
    # The one binding: a screen would take the key for itself, and a terminal no longer acts on it.
    BINDINGS = [Binding("ctrl+z", "suspend_process", show=False, priority=True)]  # noqa: RUF012

    def __init__(
        self, services: Services, settings: Settings, *, is_ascii: bool, first: str = "home"
    ) -> None:
        """`first`: the screen that begins; the rules of another one would be read all over."""
        # Without colour the terminal keeps its own two: textual then sends no colour at all, while
        # by itself it would send greys.
        super().__init__(
            css_path=["screens/base.tcss", f"screens/{first}.tcss"],
            ansi_color=True if "NO_COLOR" in os.environ else None,
        )
        self.services = services
        self.settings = settings
        self._is_ascii = is_ascii
        for theme in THEMES.values():
            self.register_theme(theme.for_textual())
        self._look(settings)
        self.outcome = 0
        self._trouble = ""
        self._home: HomeScreen | None = None
        # Home, which would be covered at once, is made when somebody goes there.
        self._begins_away = first != "home"

    def _look(self, settings: Settings) -> None:
        self.looks = Looks(STYLES[settings.theme], self._is_ascii or settings.ascii is True)
        self.theme = settings.theme

    def get_default_screen(self) -> Screen[None]:
        """Home is the screen below all others."""
        self._trouble = self.services.notice()
        return Screen() if self._begins_away else self._new_home()

    def _new_home(self) -> HomeScreen:
        from trainer.app.screens.home import HomeScreen

        out = self.services
        self._home = HomeScreen(
            out.listed(),
            self._trouble,
            out.unfinished(),
            out.due,
            out.sample,
            is_new=out.is_new(),
            level=self.settings.level,
        )
        return self._home

    def on_brief_requested(self, message: BriefRequested) -> None:
        """The procedure sheet of an exercise as written; its tables take a moment to compute."""
        if self.screen is self._home:
            self._tell_home("Computing the sheet …")
            self.call_after_refresh(self._show_brief, message.exercise)

    def _show_brief(self, name: str) -> None:
        from trainer.app.screens.brief import BriefScreen

        exercise = self._read_at_home(name)
        if exercise is not None:
            self.push_screen(BriefScreen(self.services.brief(exercise)))

    def on_about_requested(self, _message: AboutRequested) -> None:
        """What this program is, its keys and its settings."""
        from trainer import paths
        from trainer.app.orientation import about_lines
        from trainer.app.screens.text import TextScreen

        if self.screen is self._home:
            lines = about_lines(self.settings, paths.configuration_file())
            self.push_screen(TextScreen("APPROACH DRILL", lines))

    def on_settings_requested(self, _message: SettingsRequested) -> None:
        """The settings, from the home screen."""
        from trainer.app.screens.settings import SettingsScreen

        if self.screen is self._home:
            out = self.services
            self.push_screen(SettingsScreen(self.settings, out.settings_file(), out.settle))

    def on_settled(self, message: Settled) -> None:
        """New settings hold at once: looks here, keys and bell from the next flight on."""
        self.settings = message.settings
        self._look(self.settings)
        for screen in self.screen_stack:
            for widget in screen.walk_children():
                widget.refresh()
        if self._home is not None:
            self._home.choose_level(self.settings.level)

    def on_history_requested(self, _message: HistoryRequested) -> None:
        """The attempts on record."""
        from trainer.app.screens.text import TextScreen

        self.push_screen(TextScreen("HISTORY", self.services.history(), "History"))

    def on_home_requested(self, _message: HomeRequested) -> None:
        """Back to the list."""
        self._go_home()

    def on_leave_requested(self, _message: LeaveRequested) -> None:
        """End."""
        self.exit(self.outcome)

    def _down_to_home(self) -> None:
        while len(self.screen_stack) > 1 and self.screen is not self._home:
            self.pop_screen()

    def _go_home(self) -> None:
        self._down_to_home()
        if self._home is None:
            self.push_screen(self._new_home())
        else:
            self._home.take(
                self.services.listed(), self.services.notice(), self.services.unfinished(),
                self.services.is_new(),
            )  # fmt: skip

    def _read_at_home(self, name: str) -> Exercise | None:
        """An exercise as written; None where home was left meanwhile, or the mistake is told."""
        if self.screen is not self._home:
            return None
        self._tell_home("")
        try:
            return self.services.exercise(name, 0)
        except UserError as error:
            self._tell_error(error)
            return None

    def _tell_error(self, error: UserError) -> None:
        """A mistake in one line on the home screen; the report of a bad file on its own."""
        from trainer.app.screens.text import TextScreen

        if self._home is None:
            self._go_home()
        lines = str(error).splitlines()
        if len(lines) < 2:
            self._tell_home(str(error))
            return
        self._tell_home("this file cannot be flown as it is")
        self.push_screen(TextScreen("THIS FILE HAS PROBLEMS; NOTHING WAS LOADED", lines))

    def _tell_home(self, notice: str) -> None:
        if self._home is not None:
            self._home.tell(notice.partition("\n")[0])
