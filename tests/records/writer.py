"""A program for tests: flies nothing, writes acts as fast as it can, says which are kept.

python -m tests.records.writer FILE COUNT: prints the attempt's number, then one line per act
after the act was logged. COUNT 0 never ends.
"""

from __future__ import annotations

import itertools
import sys
from pathlib import Path

from trainer.flight.acts import Act
from trainer.records.store import Records


def main() -> None:
    path, count = Path(sys.argv[1]), int(sys.argv[2])
    with Records(path) as records:
        attempt = records.begin(
            '{"name": "first"}', "d1", "first", "check", "solo", 7, 1, "2031-05-04T10:00:00Z"
        )
        for message in records.messages:
            print("message", message, flush=True)
        print("attempt", attempt.number, flush=True)
        for serial in itertools.count() if count == 0 else range(count):
            attempt.act(Act(serial, serial, "pilot", "press", "heading mode"))
            if serial % 10 == 9:
                attempt.beat(serial)
            print(serial, flush=True)


if __name__ == "__main__":
    main()
