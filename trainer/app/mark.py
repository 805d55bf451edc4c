"""A mark on disk that something was done once. It knows not what."""

from __future__ import annotations

from pathlib import Path


class Mark:
    """An empty file; where it cannot be written, no mark is kept."""

    def __init__(self, file: Path) -> None:
        self._file = file

    def is_set(self) -> bool:
        """Whether it is there."""
        return self._file.exists()

    def set(self) -> None:
        """Make it."""
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            self._file.touch()
        except OSError:
            return  # asked again next time: nothing is lost by it
