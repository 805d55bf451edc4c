"""Small questions over the flight: a pause, and whether to leave. Each answers with a value."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen

from trainer.app.keymap import DEFAULT, Keymap
from trainer.app.widgets.lines import Line
from trainer.app.widgets.palette import looks_of
from trainer.app.widgets.panel import Panel


class Overlay(ModalScreen[bool], inherit_bindings=False):
    """A few lines in the middle of the screen; no widget takes the focus."""

    AUTO_FOCUS = ""
    CSS_PATH = "overlay.tcss"
    LINES: Sequence[Line] = ()

    def lines(self) -> Sequence[Line]:
        """What stands in the box."""
        return self.LINES

    def compose(self) -> ComposeResult:
        """The lines in a box."""
        panel = Panel(id="box")
        panel.show(self.lines())
        yield panel

    def on_mount(self) -> None:
        """A frame that the terminal can draw."""
        self.set_class(looks_of(self.app).is_ascii, "-ascii")

    def answer(self, key: str | None) -> bool | None:
        """The answer that a key (a character, or its name) gives, None while it gives none."""
        raise NotImplementedError

    def on_key(self, event: events.Key) -> None:
        """Answer once."""
        event.stop()
        event.prevent_default()
        answer = self.answer(event.character if event.is_printable else event.key)
        if answer is not None:
            self.dismiss(answer)


class PauseOverlay(Overlay):
    """Time stands still; the key of the pause or Enter goes on (True), that of leaving asks."""

    LINES: Sequence[Line] = ((("PAUSED", "caution"),), ())

    def __init__(self, keymap: Keymap = DEFAULT) -> None:
        super().__init__()
        self._keymap = keymap

    def lines(self) -> Sequence[Line]:
        """What stands in the box, with the keys as they are bound."""
        go_on, leave = (self._keymap.shown(name) for name in ("pause", "leave"))
        return (*self.LINES, ((f"{go_on} or Enter go on   {leave} leave", ""),))

    def answer(self, key: str | None) -> bool | None:
        """The key of the pause, or Enter; the key of leaving, or Ctrl-C."""
        if key in (self._keymap.key_of("leave"), "ctrl+c"):
            return False
        return True if key in (self._keymap.key_of("pause"), "enter") else None


class AgainOverlay(PauseOverlay):
    """The flight stands where it was left."""

    LINES = ((("TAKEN UP AGAIN", "caution"),), (), (("Time stands still.", ""),))


class BackOverlay(PauseOverlay):
    """The flight was taken back."""

    LINES = (
        (("TAKEN BACK BY 30 SECONDS", "caution"),),
        (),
        (("What was done since does not count.", ""),),
    )


class LeaveOverlay(Overlay):
    """Whether to leave the flight. Only `y` does; it is not the key that opened this."""

    def __init__(self, what: str = "the attempt stays unfinished") -> None:
        """`what`: becomes of a flight that is left."""
        super().__init__()
        self._what = what

    def lines(self) -> Sequence[Line]:
        """What stands in the box."""
        return (
            (("LEAVE THIS FLIGHT?", "caution"),),
            (),
            ((f"y  leave; {self._what}", ""),),
            (("n  fly on", ""),),
        )

    def answer(self, key: str | None) -> bool | None:
        """y leaves; n and Esc do not; nothing else answers."""
        return {"y": True, "n": False, "escape": False}.get(key or "")
