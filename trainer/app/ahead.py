"""An exercise, and its phrase book, made in a fork of this process while the app imports textual.

Reading files, checking and composing take a fifth of the time to the first paint and need nothing
of a screen; importing textual takes a third of it and needs nothing of an exercise. Owns the fork
and its pipe. The surprising rule: whatever keeps the fork from it (a mistake in a file, a platform
without fork or without a free core), nothing is told here; who takes None composes it and tells.
"""

from __future__ import annotations

import os
import signal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trainer.scenario.exercise import Exercise


class Ahead:
    """The exercise `name` as `seed` draws it, on its way. To be made before there are threads."""

    def __init__(self, name: str, seed: int) -> None:
        self._end, self._child = -1, 0
        if not _has_free_core():
            return
        self._end, theirs = os.pipe()
        self._child = os.fork()
        if not self._child:
            _compose(name, seed, theirs)
        os.close(theirs)

    def take(self) -> Exercise | None:
        """The exercise, waited for; None if it could not be composed, or was taken already."""
        import pickle

        if self._end < 0:
            return None
        with os.fdopen(self._end, "rb") as pipe:
            packed = pipe.read()
        self._end = -1
        os.waitpid(self._child, 0)
        if not packed:
            return None
        from trainer.scenario.book import remember

        # From a copy of this very process: nothing foreign is unpacked.
        exercise: Exercise
        exercise, book = pickle.loads(packed)
        remember(exercise, book)
        return exercise


def _has_free_core() -> bool:
    """Whether a fork would run beside this process; taking turns with it, it would cost time."""
    return hasattr(os, "fork") and os.getloadavg()[0] < (os.cpu_count() or 1)


def _compose(name: str, seed: int, pipe: int) -> None:
    """What the fork does; it never returns."""
    try:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        import pickle

        from trainer.scenario.book import book_of
        from trainer.scenario.compose import load
        from trainer.scenario.draw import draw
        from trainer.scenario.library import default_library

        exercise = draw(load(name, default_library()), seed)
        with os.fdopen(pipe, "wb") as file:
            pickle.dump((exercise, book_of(exercise)), file, pickle.HIGHEST_PROTOCOL)
    finally:
        os._exit(0)  # without what the copied process would do at its end
