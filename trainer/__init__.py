"""Approach Drill: rehearse an instrument approach in a terminal, judged and explained.

For training on fictional types; not for navigation or real flight.
This package module imports nothing, so that every command pays only for what it uses.
"""

__version__ = "0.1.0"

ENGINE = 7
"""Version of the flight engine: raised whenever the same inputs would fly differently."""

JUDGE = 10
"""Version of the judging rules: raised whenever the same facts would be judged differently."""
