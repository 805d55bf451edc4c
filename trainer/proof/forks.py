"""Work done in forked copies of this process, as many at a time as there are jobs.

Owns the processes and what comes back from them; knows nothing of flights. The surprising rule: a
fork begins with everything this process has computed so far and at no cost, so a flight can be
left at any step and flown on in many ways. Where a platform cannot fork the work is done in place,
which is why work must not change what it was given: see `CAN_FORK`.
"""

from __future__ import annotations

import gc
import multiprocessing
import signal
from collections.abc import Callable
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any

CAN_FORK = "fork" in multiprocessing.get_all_start_methods()
"""Whether this platform copies a running process."""


class Forks:
    """Runs pieces of work in forks; `results` holds what each gave, by its place.

    Use as a context manager: leaving it by an error ends all that still runs.
    """

    def __init__(self, jobs: int, on_result: Callable[[int], None]) -> None:
        """At most `jobs` (1..) at a time; `on_result` gets the place of each finished piece."""
        self.results: dict[int, Any] = {}
        self._jobs = max(1, jobs)
        self._on_result = on_result
        self._running: dict[Connection, tuple[int, BaseProcess]] = {}

    def __enter__(self) -> Forks:
        return self

    def __exit__(self, *error: object) -> None:
        for _, process in self._running.values():
            process.kill()
            process.join()

    def start(self, place: int, work: Callable[[], object]) -> None:
        """Begin `work` as soon as a job is free. RuntimeError if an earlier one failed."""
        if not CAN_FORK:
            self._take(place, work())
            return
        while len(self._running) >= self._jobs:
            self._collect()
        ours, theirs = multiprocessing.Pipe(duplex=False)
        process = multiprocessing.get_context("fork").Process(
            target=_do, args=(work, theirs), daemon=True
        )
        # An interrupt in the middle of forking would be lost, and in a fork it is of no use: it
        # reaches every process of the terminal, and the parent ends the others.
        before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        process.start()
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
        theirs.close()
        self._running[ours] = (place, process)

    def finish(self) -> None:
        """Wait for everything that was begun. RuntimeError if something failed."""
        while self._running:
            self._collect()

    def _collect(self) -> None:
        for end in wait(list(self._running)):
            assert isinstance(end, Connection)
            place, process = self._running.pop(end)
            try:
                result = end.recv()
            except EOFError:
                raise RuntimeError("a piece of the proof failed in its own process") from None
            finally:
                end.close()
                process.join()
            self._take(place, result)

    def _take(self, place: int, result: object) -> None:
        self.results[place] = result
        self._on_result(place)


def _do(work: Callable[[], object], end: Connection) -> None:
    # It ends soon, and looking for garbage would only copy what is shared.
    gc.disable()
    end.send(work())
