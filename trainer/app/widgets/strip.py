"""The profile strip: path and aircraft against distance, in braille dots.

Far is left, the threshold right. The aircraft is a diamond with its altitude beside it; shades
show where the glide path is received, at levels that hand over a volume.
"""

from __future__ import annotations

from collections.abc import Callable

from trainer.app.profile import CELL_FT, CELL_NM, Profile, Volume, scale_nm
from trainer.app.widgets.lines import Line, Span

_BIT = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
BEHIND = 0.06
"""Part of the strip that lies behind the threshold."""
Scale = Callable[[float], float]
"""From a distance or an altitude to a cell of the strip."""
Signs = dict[tuple[int, int], Span]
"""Characters written over the dots, by cell."""
Shade = dict[tuple[int, int], str]
"""What stands in cells where nothing else is."""
_SHADES = {"covered": "░", "received": "·"}


class Canvas:
    """Cells of two by four dots, and characters written over them."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._dots: dict[tuple[int, int], int] = {}
        self._signs: Signs = {}

    def dot(self, x: int, y: int) -> None:
        """Set one dot; x in half cells from the left, y in quarter cells from the top."""
        if 0 <= x < self.width * 2 and 0 <= y < self.height * 4:
            cell = (x // 2, y // 4)
            self._dots[cell] = self._dots.get(cell, 0) | _BIT[y % 4][x % 2]

    def write(self, x: int, y: int, text: str, meaning: str) -> None:
        """Write `text` from cell x, y on; what falls outside is left out."""
        for offset, sign in enumerate(text):
            if 0 <= x + offset < self.width and 0 <= y < self.height:
                self._signs[x + offset, y] = (sign, meaning)

    def is_empty(self, x: int, y: int) -> bool:
        """Whether cell x, y holds neither dots nor a character."""
        return (x, y) not in self._signs and (x, y) not in self._dots

    def is_free(self, x: int, y: int, length: int) -> bool:
        """Whether nothing has been written in `length` cells from x, y on."""
        return all((x + offset, y) not in self._signs for offset in range(length))

    def lines(self, meaning: str, shade: Shade) -> list[Line]:
        """The rows, dots in `meaning`, `shade` in cells where nothing else is."""
        return [self.row(y, meaning, shade) for y in range(self.height)]

    def row(self, y: int, meaning: str, shade: Shade, over: Signs | None = None) -> Line:
        """Row `y`, with `over` in place of what stands there."""
        signs = self._signs if over is None else {**self._signs, **over}
        spans: list[Span] = []
        text, before = "", ""
        for x in range(self.width):
            sign = signs.get((x, y))
            if sign is None:
                dots = self._dots.get((x, y))
                if dots is not None:
                    sign = (chr(0x2800 + dots), meaning)
                else:
                    sign = (shade.get((x, y), " "), "rule")
            if sign[1] == before:
                text += sign[0]
                continue
            if text:
                spans.append((text, before))
            text, before = sign
        return (*spans, (text, before))

    @property
    def signs(self) -> Signs:
        """The characters that were written, by cell."""
        return self._signs


class ProfileStrip:
    """The strip of a profile, and of the volume of its signal where a level shows it.

    Only the aircraft moves: all else is drawn again when scale, size or selected altitude change.
    """

    def __init__(self, profile: Profile, volume: Volume | None) -> None:
        self._profile, self._volume = profile, volume
        self._key: tuple[float, float, float, int, int] | None = None
        self._canvas = Canvas(0, 0)
        self._shade: Shade = {}
        self._rows: list[Line] = []

    def lines(
        self, distance_nm: float, altitude_ft: float, selected_ft: float, width: int, height: int
    ) -> list[Line]:
        """The strip in `width` by `height` cells (at least 20 by 4), axis in the last row."""
        if width < 20 or height < 4:
            return []
        far_nm = scale_nm(distance_nm)
        top_ft = _top_ft(self._profile, altitude_ft, selected_ft, far_nm)
        key = (far_nm, top_ft, selected_ft, width, height)
        if key != self._key:
            self._key = key
            self._draw(*key)
        per_cell_nm, per_row_ft = self._per_cell(far_nm, top_ft, width, height)
        moving = Canvas(width, height)
        column = (far_nm - distance_nm) / per_cell_nm
        _aircraft(moving, column, (top_ft - altitude_ft) / per_row_ft, altitude_ft)
        rows = list(self._rows)
        for y in {place for _, place in moving.signs}:
            rows[y] = self._canvas.row(y, "guidance", self._shade, moving.signs)
        return rows

    def _per_cell(
        self, far_nm: float, top_ft: float, width: int, height: int
    ) -> tuple[float, float]:
        """Miles in a cell and feet in a row."""
        return (
            far_nm * (1.0 + BEHIND) / width,
            (top_ft - self._profile.elevation_ft) / (height - 1),
        )

    def _draw(
        self, far_nm: float, top_ft: float, selected_ft: float, width: int, height: int
    ) -> None:
        """Draw what does not move: path, selected altitude, axis and volume."""
        profile, plot = self._profile, height - 1
        per_cell_nm, per_row_ft = self._per_cell(far_nm, top_ft, width, height)
        self._canvas = canvas = Canvas(width, height)

        def column(nm: float) -> float:
            return (far_nm - nm) / per_cell_nm

        def row(feet: float) -> float:
            return (top_ft - feet) / per_row_ft

        for half in range(round(column(0.0)) * 2):
            nm = far_nm - half / 2.0 * per_cell_nm
            if nm >= 0.0:
                canvas.dot(half, int(row(profile.path_altitude_ft(nm)) * 4.0))
        level = int(row(selected_ft))
        for x in range(0, int(column(0.0)), 2):
            if 0 <= level < plot and canvas.is_empty(x, level):
                canvas.write(x, level, "╌", "selected")
        axis(canvas, profile, far_nm, column, plot)
        ends = (far_nm, per_cell_nm, top_ft - profile.elevation_ft, per_row_ft)
        self._shade = {} if self._volume is None else shades(self._volume, ends, width, plot)
        self._rows = canvas.lines("guidance", self._shade)


def shades(
    volume: Volume, ends: tuple[float, float, float, float], width: int, height: int
) -> Shade:
    """The sign of every cell in which the glide path is received.

    `ends`: miles at the left edge, miles a cell, feet above the threshold at the top, feet a row.
    """
    far_nm, per_cell_nm, top_ft, per_row_ft = ends
    found = {}
    for x in range(width):
        place = round((far_nm - (x + 0.5) * per_cell_nm) / CELL_NM)
        for y in range(height):
            state = volume.get((place, round((top_ft - (y + 0.5) * per_row_ft) / CELL_FT)))
            if state is not None:
                found[x, y] = _SHADES[state]
    return found


def _top_ft(profile: Profile, altitude_ft: float, selected_ft: float, far_nm: float) -> float:
    """Top of the strip: holds the aircraft, the selected altitude and no more than is useful."""
    needed = max(altitude_ft, min(selected_ft, altitude_ft + 2000.0), profile.elevation_ft + 800.0)
    step = 500.0 if far_nm <= 6.0 else 1000.0
    return (int((needed - profile.elevation_ft) * 1.15 / step) + 1) * step + profile.elevation_ft


def axis(
    canvas: Canvas, profile: Profile, far_nm: float, column: Scale, y: int, every: int = 0
) -> None:
    """The threshold, the fixes and the miles in row `y`; `every` 0 = as many miles as are usual."""
    canvas.write(int(column(0.0)), y, "▔", "value")
    canvas.write(int(column(0.0)) + 1, y, "RWY", "label")
    for place in profile.places:
        at = int(column(place.distance_nm))
        text = f"▲{place.name}"
        if place.distance_nm <= far_nm and canvas.is_free(at, y, len(text) + 1):
            canvas.write(at, y, text, "label")
    every = every or (1 if far_nm <= 6.0 else 2 if far_nm <= 12.0 else 4)
    for nm in range(every, int(far_nm) + 1, every):
        at = int(column(float(nm)))
        text = f"{nm}"
        if canvas.is_free(at - 1, y, len(text) + 2):
            canvas.write(at, y, text, "label")


def _aircraft(canvas: Canvas, at_column: float, at_row: float, altitude_ft: float) -> None:
    x = min(max(int(at_column), 0), canvas.width - 1)
    y = min(max(int(at_row), 0), canvas.height - 2)
    text = f"{round(altitude_ft, -1):.0f}"
    beside = x + 2 if x + 2 + len(text) < canvas.width else x - len(text) - 1
    canvas.write(beside, y, text, "value")
    canvas.write(x, y, "◆", "value")
