"""Tables of the aircraft file: masses, drag, thrust, stages, limits and guidance options."""

from __future__ import annotations

from trainer.scenario.controls import CONTROLS
from trainer.scenario.vocabulary import words
from trainer.scenario.vocabulary.shapes import (
    FLAG,
    TEXT,
    VERSION,
    Key,
    Record,
    Shape,
    choice,
    choices,
    integer,
    number,
    quantity,
    record,
    records,
    texts,
)

_SPEED = quantity("kt", 20, 500)
_MASS = quantity("t", 0.3, 600)
_TRANSIT = quantity("s", 0, 60)
_COEFFICIENT = number(0, 1)
_DRAG = number(0, 0.2)
_SHARE = number(0.3, 1)

TABLES = (
    Record(
        "aircraft",
        "one fictional aircraft type",
        (
            Key("format", VERSION, "version of the format", required=True),
            Key("title", TEXT, "name shown", required=True),
            Key("family", choice("jet", "turboprop", "piston"), "which flows fit", required=True),
            Key("mass", record("mass"), "masses", required=True),
            Key("wing area", quantity("m2", 5, 800), "reference area", required=True),
            Key("drag", record("polar"), "parabolic polar, clean", required=True),
            Key("flaps", records("flap stage", 12), "stages, from clean", required=True),
            Key("landing flaps", texts(6), "stages allowed for landing", required=True),
            Key("gear", record("gear"), "landing gear", required=True),
            Key("speedbrake", record("speedbrake"), "speedbrake, if there is one"),
            Key("maximum speed", _SPEED, "maximum operating speed", required=True),
            Key("jet", record("jet"), "thrust law of a jet"),
            Key("propeller", record("propeller"), "thrust law of a turboprop or piston"),
            Key("autothrust", record("autothrust"), "speed-hold law, if fitted"),
            Key("hand", record("hand"), "how power is set by hand; required without autothrust"),
            Key("icing speed factor", number(1, 1.3), "icing speeds / normal speeds", default="1"),
            Key("handling", record("handling"), "bank and vertical response", required=True),
            Key("flare", record("flare"), "flare law", required=True),
            Key("landing roll", record("landing roll"), "roll-out", required=True),
            Key("guidance", record("guidance"), "choices of the flight guidance", required=True),
            Key("controls", choices(*CONTROLS), "controls that exist", required=True),
            Key("notes", Shape("prose", most=4000), "remarks for readers"),
        ),
        one_of=(("jet", "propeller"),),
    ),
    Record(
        "mass",
        "masses of the type",
        (
            Key("minimum", _MASS, "lightest", required=True),
            Key("typical landing", _MASS, "default of an exercise", required=True),
            Key("maximum landing", _MASS, "heaviest at landing", required=True),
            Key("maximum", _MASS, "heaviest", required=True),
        ),
    ),
    Record(
        "polar",
        "drag = zero lift + induced times lift squared",
        (
            Key("zero lift", number(0.008, 0.08), "coefficient without lift", required=True),
            Key("induced", number(0.02, 0.12), "factor of the squared lift", required=True),
        ),
    ),
    Record(
        "flap stage",
        "one position of the flap lever",
        (
            Key("stage", TEXT, "what the lever says", required=True),
            Key("roles", choices(*words.FLAP_ROLES), "roles it plays", required=True),
            Key("drag", _DRAG, "added zero-lift drag", required=True),
            Key("limit", _SPEED, "limit speed"),
            Key("select", _SPEED, "planned selection speed at typical mass"),
            Key("manoeuvre factor", number(5, 200), "manoeuvring speed kt / √t", required=True),
            Key("reference factor", number(5, 200), "reference speed kt / √t (landing stages)"),
            Key("lift", number(0.8, 3.5), "largest lift coefficient", required=True),
            Key("transit", _TRANSIT, "travel from the stage before", required=True),
        ),
    ),
    Record(
        "gear",
        "landing gear",
        (
            Key("fixed", FLAG, "always down", default="false"),
            Key("drag", _DRAG, "added drag", required=True),
            Key("extend limit", _SPEED, "limit while extending"),
            Key("retract limit", _SPEED, "limit while retracting"),
            Key("extended limit", _SPEED, "limit while down"),
            Key("down", _TRANSIT, "travel down", default="0 s"),
            Key("up", _TRANSIT, "travel up", default="0 s"),
        ),
    ),
    Record(
        "speedbrake",
        "speedbrake",
        (
            Key("drag", _DRAG, "added drag", required=True),
            Key("transit", quantity("s", 0.2, 20), "travel", required=True),
            Key("highest flap stage", TEXT, "last stage with which it may be used", required=True),
        ),
    ),
    Record(
        "spool",
        "how fast power follows the lever",
        (
            Key("lag", quantity("s", 0.05, 10), "first-order lag", required=True),
            Key("rate at idle", number(0.001, 5), "largest rate per second at idle", required=True),
            Key("rate above", number(0.001, 5), "largest rate above the knee", required=True),
            Key("knee", number(0.01, 1), "power from which the rate is full", required=True),
            Key("rate down", number(0.001, 5), "largest rate towards idle", required=True),
        ),
    ),
    Record(
        "jet",
        "thrust law of a jet",
        (
            Key("engines", integer(1, 4), "how many", required=True),
            Key("static thrust", quantity("kN", 1, 500), "each, at sea level", required=True),
            Key("idle factor", number(0.01, 0.2), "idle thrust at rest / static", required=True),
            Key("idle mach factor", number(0, 0.3), "its loss per Mach", required=True),
            Key("maximum mach factor", number(0, 1.5), "loss of full thrust / Mach", required=True),
            Key("density exponent", number(0.5, 1.2), "power of the pressure ratio", required=True),
            Key("spool", record("spool"), "response", required=True),
        ),
    ),
    Record(
        "propeller",
        "thrust law of a turboprop or piston",
        (
            Key("engines", integer(1, 4), "how many", required=True),
            Key("power", quantity("kW", 20, 10000), "each", required=True),
            Key("efficiency", number(0.5, 0.95), "propeller efficiency", required=True),
            Key("static thrust", quantity("kN", 0.5, 100), "each, at rest", required=True),
            Key("idle thrust", quantity("kN", -10, 10), "each, at rest", required=True),
            Key("idle drag", number(0, 1), "loss of idle thrust, kN per m/s", required=True),
            Key("turbine", FLAG, "a turbine (false: piston)", required=True),
            Key("settings", record("propeller settings"), "positions of its control, if any"),
            Key("spool", record("spool"), "response", required=True),
        ),
    ),
    Record(
        "propeller settings",
        "shares of full thrust by setting of the propeller control; idle thrust stays",
        (
            Key("cruise", _SHARE, "set in cruise and descent", required=True),
            Key("high", _SHARE, "set for landing and go-around", required=True),
            Key("initial", choice("cruise", "high"), "at the start", default="cruise"),
        ),
    ),
    Record(
        "autothrust",
        "speed-hold law",
        (
            Key("optional", FLAG, "an option: without it power is set by hand", default="false"),
            Key("gain", number(0.01, 1), "per second", required=True),
            Key("acceleration", quantity("kt/s", 0.1, 5), "largest", required=True),
            Key("deceleration", quantity("kt/s", 0.1, 5), "largest", required=True),
        ),
    ),
    Record(
        "hand",
        "how power is set by hand: a look at the speed, then the levers in steps",
        (
            Key("look", quantity("s", 0.5, 10), "between two looks", required=True),
            Key("trend", quantity("s", 0, 20), "how far ahead the speed is judged", required=True),
            Key("gain", number(0.001, 0.1), "correction of power per kt", required=True),
            Key("step", number(0.005, 0.2), "smallest change of power", required=True),
            Key("deadband", quantity("kt", 0, 10), "error left alone", required=True),
            Key("lever rate", number(0.02, 2), "of power per second", required=True),
        ),
    ),
    Record(
        "handling",
        "response in bank and climb",
        (
            Key("bank", quantity("deg", 5, 45), "bank limit of the guidance", required=True),
            Key("roll rate", quantity("deg/s", 0.5, 30), "largest roll rate", required=True),
            Key("vertical lag", quantity("s", 0.2, 10), "first-order lag", required=True),
            Key("vertical acceleration", quantity("g", 0.01, 1), "largest", required=True),
        ),
    ),
    Record(
        "flare",
        "flare law",
        (
            Key("start", quantity("ft", 10, 150), "radio height at which it begins", required=True),
            Key("time constant", quantity("s", 0.5, 10), "of the exponential", required=True),
            Key("sink", quantity("ft/s", 0.2, 8), "aimed at touchdown", required=True),
            Key("idle", quantity("ft", 0, 100), "radio height of thrust to idle", required=True),
        ),
    ),
    Record(
        "landing roll",
        "roll-out",
        (
            Key("reverse delay", _TRANSIT, "after touchdown", default="0 s"),
            Key("reverse fraction", _COEFFICIENT, "of static thrust", default="0"),
            Key("reverse cut-off", quantity("kt", 0, 150), "back to idle below", default="0 kt"),
            Key("spoiler drag", _COEFFICIENT, "added drag", default="0"),
            Key("ground lift", number(-0.5, 1), "lift coefficient on the ground", required=True),
            Key("rolling friction", number(0.005, 0.1), "unbraked", required=True),
            Key("braking dry", number(0.1, 0.8), "friction at full braking, dry", required=True),
            Key("braking wet", number(0.05, 0.8), "friction at full braking, wet", required=True),
            Key("autobrake", record("autobrake"), "decelerations by level"),
            Key("autobrake delay", _TRANSIT, "after touchdown", default="0 s"),
        ),
    ),
    Record(
        "autobrake",
        "decelerations of the autobrake levels",
        tuple(
            Key(level, quantity("m/s2", 0.5, 8), "total deceleration")
            for level in ("low", "medium", "high", "max")
        ),
    ),
    Record(
        "guidance",
        "where flight guidance differs from type to type",
        (
            Key("early arming", choice(*words.ARMING), "approach mode without a glide path",
                default="waits"),
            Key("leaving", choice(*words.LEAVING), "how the approach is left", required=True),
            Key("second press", choice(*words.SECOND_PRESS), "approach mode again", required=True),
            Key("glide before localizer", FLAG, "glide may be captured first", default="false"),
            Key("turn in capture", choice(*words.CAPTURE_TURN), "altitude selector turned",
                required=True),
            Key("nav inert after localizer", FLAG, "a nav press does nothing", default="false"),
            Key("autopilots", integer(0, 3), "how many", required=True),
            Key("optional autopilot", choices("HDG", "ALT"),
                "modes of the one autopilot that an exercise may fit; it flies no others"),
            Key("capability height", quantity("ft", 0, 3000), "shown below; 0 = none",
                default="0 ft"),
            Key("alert height", quantity("ft", 0, 500), "of OPERATIONAL; 0 = none",
                default="0 ft"),
            Key("decision height", quantity("ft", 0, 500), "of PASSIVE; 0 = none",
                default="0 ft"),
            Key("align height", quantity("ft", 0, 500), "0 = not fitted", default="0 ft"),
            Key("rollout", FLAG, "fitted", default="false"),
            Key("autopilot minimum", quantity("ft", 0, 1000), "lowest use, single", required=True),
            Key("two-step go-around", FLAG, "a second press gives full thrust", default="false"),
            Key("go-around lateral height", quantity("ft", 0, 1500), "lateral mode from here",
                required=True),
            Key("signal hold", quantity("s", 0, 30), "path held after a loss", required=True),
            Key("speed after capture", choice("dialled", "approach speed"),
                "of a path: the selected speed or the final speed bug", default="dialled"),
            Key("level of service", choice(*words.SERVICES), "best one on an RNP final",
                default="LNAV"),
            Key("retune inhibit", FLAG, "no new frequency on a captured localizer",
                default="false"),
            Key("alive", quantity("dot", 0.5, 2.5), "deviation shown when alive",
                default="2 dots"),
            Key("ident", choice("audio", "decoded", "audio or decoded"),
                "audio: by pressing identify; decoded: by themselves; both: after the press",
                required=True),
        ),
    ),
)  # fmt: skip
"""Records of the aircraft file."""
