"""Flying in lines on this machine: standard input, standard output, its records.

Owns the two streams and what follows the flight: the debrief, the exit code. The conversation
itself is `plain`.
"""

from __future__ import annotations

import os
import queue
import sys
import threading
from functools import partial
from shutil import get_terminal_size
from textwrap import fill

from trainer import paths
from trainer.app.clock import real_clock
from trainer.app.keymap import Keymap
from trainer.app.launch import Resume, Start, can_draw
from trainer.app.local import LocalServices
from trainer.app.plain import PlainFlight, Say, converse
from trainer.app.services import NOT_KEPT
from trainer.app.settings import load
from trainer.app.takeoff import Flown, finish, fly_on, take_off
from trainer.errors import EXIT_JUDGED
from trainer.text import NOTICE, in_ascii

DEBRIEF_CELLS = 78


class Lines:
    """Lines of a file descriptor, read by a thread of their own.

    The thread reads the descriptor itself: a buffered file would be locked by it when the program
    ends in the middle of a line.
    """

    def __init__(self, descriptor: int) -> None:
        self._found: queue.Queue[str | None] = queue.Queue()
        self._has_ended = False
        self._wake = threading.Event()
        threading.Thread(target=self._read, args=(descriptor,), daemon=True).start()

    @property
    def is_closed(self) -> bool:
        """Whether the file has ended and every line was taken."""
        return self._has_ended and self._found.empty()

    def take(self, seconds: float) -> str | None:
        """The next line, None if none came within `seconds`."""
        if self.is_closed:
            return None
        try:
            line = self._found.get(timeout=seconds)
        except queue.Empty:
            return None
        if line is None:
            self._has_ended = True
        return line

    def rest(self, seconds: float) -> None:
        """Let `seconds` pass."""
        self._wake.wait(seconds)

    def _read(self, descriptor: int) -> None:
        left = b""
        while piece := os.read(descriptor, 4096):
            *whole, left = (left + piece).split(b"\n")
            for line in whole:
                self._found.put(line.decode("utf-8", "replace"))
        if left:
            self._found.put(left.decode("utf-8", "replace"))
        self._found.put(None)


def write_line(text: str, *, is_ascii: bool = False) -> None:
    """One line to standard output, at once, in what the terminal can show.

    On a terminal it is broken between words; whoever reads a pipe gets it whole.
    """
    encoding = sys.stdout.encoding or "ascii"
    if is_ascii or not can_draw(encoding):
        text = in_ascii(text)
    room = get_terminal_size().columns
    if len(text) > room and sys.stdout.isatty():
        text = fill(text, room, subsequent_indent="  ", break_on_hyphens=False)
    print(text, flush=True)


def run_plain(request: Start | Resume, *, is_ascii: bool = False) -> int:
    """Fly in lines; returns the exit code: 0 passed, 1 judged repeat or left.

    Raises UserError if `request` names what is not there.
    """
    settings = load(paths.configuration_file())
    say = partial(write_line, is_ascii=is_ascii or bool(settings.ascii))
    services = LocalServices()
    told: list[str] = [services.notice()]

    def beat() -> None:
        if (notice := services.notice()) not in told:
            told.append(notice)
            say(NOT_KEPT)

    try:
        if isinstance(request, Resume):
            flown = fly_on(services.resume(request.number), beat, settings.keymap)
        else:
            flown = take_off(services, request, beat, settings.keymap)
        return _fly(flown, services, say, settings.keymap)
    finally:
        services.close()


def _fly(flown: Flown, services: LocalServices, say: Say, keymap: Keymap) -> int:
    from trainer.report.debrief import debrief
    from trainer.report.plain import plain_text

    say(NOTICE)
    flight = PlainFlight(flown.driver, say, keymap)
    try:
        converse(flight, Lines(0), real_clock)
    except KeyboardInterrupt:
        say(flown.recorder.leave(flown.driver.row.step))
        raise
    if flight.is_leaving:
        say(flown.recorder.leave(flown.driver.row.step))
        return EXIT_JUDGED
    judgement, extra = finish(flown, services)
    session = flown.driver.session
    made = debrief(judgement, session.exercise, session.flight.rows, session.flight.facts)
    for line in (*extra, *plain_text(made, DEBRIEF_CELLS).splitlines()):
        say(line)
    return 0 if judgement.outcome == "passed" else EXIT_JUDGED
