"""The panels that show one View: the same whether it is flown now or looked at again.

Owns which panel shows what. It takes no keys and knows no time.
"""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal

from trainer.app.profile import Profile, Volume
from trainer.app.view import View
from trainer.app.widgets import faces, instruments
from trainer.app.widgets.panel import Panel
from trainer.app.widgets.strip import ProfileStrip


class Deck:
    """Annunciator, instruments, profile, log and checklist around one profile and volume."""

    def __init__(self, profile: Profile, volume: Volume | None) -> None:
        self._drawing = ProfileStrip(profile, volume)
        self.header = Panel(id="header")
        self.modes = Panel(id="modes")
        self.energy = Panel(id="energy", classes="block")
        self.raw = Panel(id="raw", classes="block")
        self.position = Panel(id="position", classes="block")
        self.strip = Panel(id="strip")
        self.log = Panel(id="log")
        self.checklist = Panel(id="checklist")

    def upper(self) -> ComposeResult:
        """The rows above the profile: header, annunciator, instruments."""
        yield self.header
        yield self.modes
        with Horizontal(id="blocks"):
            yield self.energy
            yield self.raw
            yield self.position

    def show_aids(self, view: View, light: bool | None) -> None:
        """Show the aids alone, with the light of an ident that is being sent (None = of none)."""
        self.raw.show(instruments.raw_data(view, self.raw.size.width, light))

    def show(
        self, view: View, level: str, pace: str, width: int, light: bool | None = None
    ) -> None:
        """Show `view`; panels draw only the lines that changed."""
        self.header.show(faces.header(view, level, pace, width))
        self.modes.show(faces.annunciator(view, width))
        self.energy.show(instruments.energy(view, self.energy.size.width))
        self.show_aids(view, light)
        self.position.show(instruments.position(view, self.position.size.width))
        size = self.strip.size
        lines = self._drawing.lines(
            view.distance_nm, view.altitude_ft, view.selected_altitude_ft,
            size.width, size.height - 1,
        )  # fmt: skip
        self.strip.show([faces.rule(size.width), *lines])
        self.log.show(faces.log(view, self.log.size.width, self.log.size.height))
        self.checklist.show(faces.checklist(view))
