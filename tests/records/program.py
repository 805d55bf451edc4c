"""The program as it is, with a second diary beside it that a test can hold against the records.

python -m tests.records.program DIARY ARGUMENTS…: every act and every step that has been flown is
written to the file DIARY at once, past the records and without a buffer.
"""

from __future__ import annotations

import os
import sys

from trainer.app.driver import Driver
from trainer.cli.main import run
from trainer.flight.acts import Act


def main() -> int:
    diary = os.open(sys.argv[1], os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    fly = Driver._step

    def step(self: Driver, acts: list[Act]) -> None:
        fly(self, acts)
        lines = [f"act {act.step} {act.act} {act.control}\n" for act in acts]
        os.write(diary, "".join([*lines, f"step {self.row.step}\n"]).encode())

    Driver._step = step  # type: ignore[method-assign]
    return run(sys.argv[2:])


if __name__ == "__main__":
    raise SystemExit(main())
