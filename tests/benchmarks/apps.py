"""What the screen is measured against, and the program flown faster: `python -m … apps KIND`.

Yardsticks are the least that Textual can do: nothing but a key (`idle`), twenty lines drawn ten
times a second by one widget (`lines`) or by twenty (`statics`), a line of 600 points in braille
(`canvas`). Our own: the flight screen painted ten times a second (`panel`), the profile strip alone
(`strip`), and flights whose clock is moved by hand, 0.2 s a look, as fast as they can be flown and
painted (`unattended`, `flights`). What is imported is imported inside: it would be measured too.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path
from typing import Any

from textual.app import App, ComposeResult
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Static

ROWS = 20
CELLS = 80
TICK_S = 0.1
READ_LOOKS = 100
"""So many looks, at least a millisecond apart, the debrief is left standing."""


def row_text(row: int, count: int) -> str:
    """A row that is another at every tick."""
    return f"{row:3d} {count:06d} ".ljust(CELLS, chr(ord("a") + count % 26))


class Typed(App[None]):
    """Shows how many keys were pressed, and the rows of a kind that changes ten times a second."""

    CSS = "Screen { layout: vertical; } Static { height: 1; }"

    def __init__(self, rows: list[Widget]) -> None:
        super().__init__()
        self.rows = rows
        self.keys = self.count = 0
        self.shown = Static("KEY 0#")

    def compose(self) -> ComposeResult:
        yield self.shown
        yield from self.rows

    def on_mount(self) -> None:
        if self.rows:
            self.set_interval(TICK_S, self.tick)

    def tick(self) -> None:
        self.count += 1
        for place, row in enumerate(self.rows):
            if isinstance(row, Static):
                row.update(row_text(place, self.count))
            else:
                row.refresh()

    def on_key(self) -> None:
        self.keys += 1
        self.shown.update(f"KEY {self.keys}#")


class Lines(Widget):
    """Twenty rows drawn line by line."""

    DEFAULT_CSS = f"Lines {{ height: {ROWS}; width: {CELLS}; }}"

    def render_line(self, y: int) -> Strip:
        from rich.segment import Segment

        assert isinstance(self.app, Typed)
        return Strip([Segment(row_text(y, self.app.count))], CELLS)


class Braille(Lines):
    """A connected line of 600 points that moves."""

    def __init__(self) -> None:
        super().__init__()
        self.drawn = -1
        self.cells: list[str] = []

    def draw(self, count: int) -> None:
        """Set the dots of the line from point to point."""
        bits = ((1, 8), (2, 16), (4, 32), (64, 128))
        dots = [[0] * CELLS for _ in range(ROWS)]
        before: tuple[int, int] | None = None
        for point in range(600):
            x = point * CELLS * 2 // 600
            y = int((math.sin(point / 60.0 + count / 10.0) + 1.0) * 0.49 * ROWS * 4)
            from_y = y if before is None else before[1]
            for each in range(min(from_y, y), max(from_y, y) + 1):
                dots[each // 4][x // 2] |= bits[each % 4][x % 2]
            before = (x, y)
        self.cells = ["".join(chr(0x2800 + dot) for dot in row) for row in dots]

    def render_line(self, y: int) -> Strip:
        from rich.segment import Segment

        assert isinstance(self.app, Typed)
        if self.drawn != self.app.count:
            self.drawn = self.app.count
            self.draw(self.drawn)
        return Strip([Segment(self.cells[y])], CELLS)


def run_strip() -> None:
    """The profile strip with the volume of its signal, flown along at 1 NM in three seconds."""
    from trainer.app.profile import profile_of, volume_of
    from trainer.app.widgets.palette import STYLES, Looks
    from trainer.app.widgets.panel import Panel
    from trainer.app.widgets.strip import ProfileStrip
    from trainer.flight.surroundings import surroundings_of
    from trainer.scenario.compose import load
    from trainer.scenario.library import default_library

    exercise = load("straight-in", default_library())
    profile = profile_of(exercise)
    drawing = ProfileStrip(profile, volume_of(surroundings_of(exercise)))

    class Strips(Typed):
        CSS = f"Panel {{ height: {ROWS}; width: {CELLS}; }}"
        looks = Looks(STYLES["dark"], False)

        def tick(self) -> None:
            self.count += 1
            far_nm = 15.0 - self.count % 400 / 30.0
            panel = self.rows[0]
            assert isinstance(panel, Panel)
            altitude_ft = profile.path_altitude_ft(far_nm)
            panel.show(drawing.lines(far_nm, altitude_ft, 3000.0, CELLS, ROWS))

    Strips([Panel()]).run()


def run_panel() -> None:
    """A check, painted ten times a second instead of five."""
    from trainer.app import launch

    launch.prepare()
    from trainer.app.screens import flight

    flight.PAINT_S = TICK_S
    launch.run_app(launch.Start("straight-in", "check"))


def resident_mb(what: str = "VmRSS") -> float:
    """Memory of this process, MB (Linux): "VmRSS" now, "VmHWM" at most so far."""
    for line in Path("/proc/self/status").read_text(encoding="ascii").splitlines():
        if line.startswith(f"{what}:"):
            return int(line.split()[1]) / 1024.0
    raise RuntimeError(f"/proc/self/status holds no {what}")


def run_flown(flights: int, minutes: float, told: Path) -> None:
    """Fly one after another; `minutes` 0 = by the perfect crew to the end, else nobody acts.

    Writes the memory after each (MB, a line each: now, at most) to `told`.
    """
    from trainer.app import launch
    from trainer.app.ahead import Ahead

    launch.prepare()
    start = launch.Start("straight-in", "check", seed=1)
    ahead = Ahead(start.exercise, 1)  # as the program does
    from trainer.app.app import TrainerApp
    from trainer.app.clock import HandClock
    from trainer.app.local import LocalServices
    from trainer.app.messages import RepeatRequested
    from trainer.app.screens.debrief import DebriefScreen
    from trainer.app.screens.flight import FlightScreen
    from trainer.crew.perfect import PerfectCrew
    from trainer.crew.session import Session

    clock = HandClock()
    lines: list[str] = []

    def crewed(session: Session) -> None:
        """Let the perfect crew act in every step of `session`."""
        crew, step = PerfectCrew(session.tracker), session.step

        def with_crew(acts: Any = ()) -> Any:
            return step([*acts, *crew.acts(session.row)])

        session.__dict__["step"] = with_crew

    known: list[Session] = []
    looks: list[DebriefScreen] = []

    def hurry() -> None:
        """A fifth of a second later."""
        screen = app.screen
        if isinstance(screen, FlightScreen):
            session = screen.driver.session
            if not minutes and session not in known:
                known[:] = [session]
                crewed(session)
            clock.advance(0.2)
            screen.tick()
            if minutes and session.row.step >= minutes * 600:
                note()
        elif isinstance(screen, DebriefScreen):
            looks.append(screen)
            if len(looks) < READ_LOOKS or any(True for _ in app.workers):
                return  # what takes longer of the debrief is still being worked out
            looks.clear()
            note()
            app.post_message(RepeatRequested(with_new_seed=False))

    def note() -> None:
        lines.append(f"{resident_mb():.1f} {resident_mb('VmHWM'):.1f}\n")
        told.write_text("".join(lines), encoding="ascii")
        if len(lines) == flights:
            app.exit()

    services = LocalServices()
    services.look_at(start, ahead)
    app = TrainerApp(services, start, clock)
    setattr(TrainerApp, "on_ready", lambda self: self.set_interval(0.001, hurry))  # noqa: B010
    app.run()
    if len(lines) >= flights:
        print("FLOWN")


def main(kind: str, *more: str) -> None:
    """Run one of them until it is ended."""
    match kind:
        case "idle":
            Typed([]).run()
        case "lines":
            Typed([Lines()]).run()
        case "statics":
            Typed([Static(markup=False) for _ in range(ROWS)]).run()
        case "canvas":
            Typed([Braille()]).run()
        case "strip":
            run_strip()
        case "panel":
            run_panel()
        case "unattended":
            run_flown(1, float(more[0]), Path(more[1]))
        case "flights":
            run_flown(int(more[0]), 0.0, Path(more[1]))


if __name__ == "__main__":
    main(*sys.argv[1:])
