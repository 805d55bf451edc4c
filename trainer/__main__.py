"""Entry of the command `approach-drill`: hands over to `trainer.cli.main`.

Imports nothing heavy, so that `--help` costs what it must and no more.
"""

from __future__ import annotations

import sys


def main() -> int:
    """Run the command line; returns the exit code (0, 1, 2, 3 or 130)."""
    from trainer.cli.main import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
