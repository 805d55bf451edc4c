"""The words of the moment grammar with their meanings: what a mapping that says "when" may hold.

Owns the words and their help; how they are read is in `scenario.moment_parser`. Surprising rule:
a moment holds exactly one of `PRIMITIVES`; `for` and `plus` only stand beside one.
"""

from __future__ import annotations

QUANTITIES = {
    "distance": "to the threshold in a straight line",
    "dme": "shown by the tuned and received DME; otherwise every comparison is false",
    "altitude": "indicated on the setting in use",
    "height": "above the field, on the true QNH",
    "radio height": "by the radio altimeter",
    "altitude to go": "to the selected altitude",
    "speed": "calibrated airspeed",
    "vertical speed": "up is positive",
    "speed astray": "by how much the speed will be above the selected one in 6 s; 0 while it is on "
    "its way back, 2 s from a new bug and 8 s from a new torque; false on a type without torque",
    "torque": "of both engines, as it is now; false on a type without it",
    "margin": "energy margin to the main gate of the flow: level miles to spare",
}
"""Quantities that are compared."""

STATES = {
    "deviation": "deviation from localizer or glide path, in dots",
    "selected": "a selector stands at this value, within the tolerance of the control",
    "signal": "what is received of localizer or glideslope",
    "mode": "what the annunciator shows; a list means any of these",
    "config": "surfaces have arrived: a flap stage or role, gear, speedbrake",
    "lever": "a lever stands there, whether or not the surface has arrived",
    "phase": "phase of the flight; a list means any of these",
    "sees": "what can be seen from the cockpit",
}
"""What is shown or seen; true while it is so."""

HAPPENINGS = {
    "passed": "a fix was passed, or a place by its role",
    "granted": "this clearance was given",
    "event": "this event of the exercise has happened",
    "acted": "a control was pressed or moved: CONTROL or CONTROL POSITION",
    "said": "a call was made, by its intent in the house words",
    "done": "an item was settled",
    "changed": "the annunciator changed: any column, an announced change, or one column",
    "gate": "a gate was passed or failed: {NAME: failed}",
    "last chance": "the margin of this gate, checklist time included, is used up",
}
"""What happens once and stays happened (`last chance` is a state)."""

COMBINATIONS = {
    "all": "true while each of these is",
    "any": "true while at least one of these is",
    "then": "one after the other: each counts only from where the one before was true",
    "not": "true while this is not",
}
"""Combinations of moments."""

PRIMITIVES = {**QUANTITIES, **STATES, **HAPPENINGS, **COMBINATIONS}
"""Every key of which a moment holds exactly one."""

MODIFIERS = {
    "for": "the state has held so long without a break",
    "plus": "so much later, in time or in miles flown",
}
"""Keys that stand beside a primitive."""
