"""Tables of the exercise file and of the crew file."""

from __future__ import annotations

from trainer.scenario.vocabulary import words
from trainer.scenario.vocabulary.procedures import ACTING, ITEM_KEYS
from trainer.scenario.vocabulary.shapes import (
    ANSWER,
    MOMENT,
    PROSE,
    STEM,
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

_SPEED = quantity("kt", 40, 400)
_ALTITUDE = quantity("ft", -1000, 45000)
_DIRECTION = quantity("deg", 0, 360)
_RANGE = quantity("m", 50, 2000)
_PRESSURE = quantity("hPa", 940, 1060)
_DELAY = quantity("s", 0, 2700)

_EDITS = (
    Key("omit", TEXT, "leave this item out"),
    Key("delay", TEXT, "do this item later (with by)"),
    Key("advance", TEXT, "do this item earlier (with by or to)"),
    Key("replace", TEXT, "do something else instead (with with)"),
    Key("swap", texts(2), "exchange two items"),
    Key("by", _DELAY, "how much later or earlier"),
    Key("to", MOMENT, "the moment at which it is done"),
    Key("with", record("replacement"), "what is done instead"),
)

TABLES = (
    Record(
        "exercise",
        "one of each, plus start, weather, events and variation",
        (
            Key("format", VERSION, "version of the format", required=True),
            Key("title", TEXT, "name shown", required=True),
            Key("lesson", TEXT, "the one thing it teaches", required=True),
            Key("level", integer(1, 5), "difficulty", default="1"),
            Key("brief", PROSE, "what the pilot is told beforehand"),
            Key("callsign", TEXT, "call sign, invented", default="Marrow Two One"),
            Key("airport", STEM, "airport file", required=True),
            Key("approach", TEXT, "approach of that airport", required=True),
            Key("arrival", TEXT, "arrival of that approach; default: the one through the start"),
            Key("aircraft", STEM, "aircraft file", required=True),
            Key("fitted", choices("autothrust", "autopilot"),
                "options of the type that are fitted"),
            Key("flow", STEM, "flow file", required=True),
            Key("house", STEM, "house file", default="standard"),
            Key("start", record("start"), "where and how it begins", required=True),
            Key("weather", record("weather"), "the weather"),
            Key("events", records("event", 100), "what happens"),
            Key("vary", records("vary", 20), "what a seed draws"),
            Key("changes", records("change", 60), "changes to the flow"),
            Key("watches", records("watch", 20), "what must never, or always, be so here as well"),
            Key("traps", records("trap", 20), "temptations and what catches them"),
            Key("slips", records("slip", 20), "what the colleague does wrong, and who finds it"),
            Key("technique", TEXT, "the one set of variants accepted; default: any one set"),
            Key("pass", number(0, 100), "points needed", default="80"),
            Key("notes", PROSE, "remarks for authors"),
        ),
    ),
    Record(
        "start",
        "where and how the flight begins",
        (
            Key("before", TEXT, "fix of the coded legs", required=True),
            Key("distance", quantity("NM", 0, 40), "before that fix, along the leg into it",
                default="0 NM"),
            Key("altitude", _ALTITUDE, "indicated on the setting in use", required=True),
            Key("speed", _SPEED, "calibrated airspeed", required=True),
            Key("flaps", TEXT, "stage or role", default="clean"),
            Key("gear", choice("up", "down"), "gear; default: up where it can be"),
            Key("mass", quantity("t", 0.3, 600), "mass; default: typical landing mass"),
            Key("heading", _DIRECTION, "come in on this heading instead of along the leg"),
            Key("selected altitude", _ALTITUDE, "altitude selector; default: the altitude"),
            Key("altimeter", _PRESSURE, "altimeter setting; default: the QNH"),
            Key("leaving fuel", quantity("t", 0.05, 100),
                "fuel with which the field is left for the alternate, as briefed"),
            Key("lateral", choice("NAV", "LOC"), "lateral mode; LOC: tuned and identified",
                default="NAV"),
            Key("vertical", choice("ALT", "PATH", "GLIDE"), "vertical mode", default="ALT"),
            Key("armed", choice("PATH", "GLIDE"), "armed below the vertical mode"),
        ),
    ),
    Record(
        "weather",
        "weather to fly and decide on",
        (
            Key("qnh", _PRESSURE, "pressure at sea level", default="1013 hPa"),
            Key("temperature", quantity("C", -50, 55), "at the field", default="15 C"),
            Key("ceiling", quantity("ft", 0, 20000), "cloud base above the field; none = no cloud"),
            Key("visibility", quantity("m", 0, 50000), "flight visibility", default="9999 m"),
            Key("wind", records("wind layer", 40), "wind by height; default: calm"),
            Key("runway", choice("dry", "wet"), "runway state", default="dry"),
            Key("lights", choice("on", "off"), "approach lights", default="on"),
            Key("turbulence", choice("none", "light", "moderate"), "how rough", default="none"),
            Key("visual range", record("visual range"), "runway visual range by part"),
            Key("icing", choice("yes", "no"), "yes: the icing speeds of the type, if it has any",
                default="no"),
        ),
    ),
    Record(
        "visual range",
        "runway visual range where it is measured",
        (
            Key("touchdown", _RANGE, "at the touchdown zone"),
            Key("midpoint", _RANGE, "at the middle"),
            Key("stop end", _RANGE, "at the far end"),
        ),
    ),
    Record(
        "weather change",
        "what is different from then on; what is left out stays as it was",
        (
            Key("ceiling", quantity("ft", 0, 20000), "cloud base above the field"),
            Key("visibility", quantity("m", 0, 50000), "flight visibility"),
            Key("lights", choice("on", "off"), "approach lights"),
            Key("visual range", record("visual range"), "runway visual range by part"),
            Key("icing", choice("yes"), "ice is met: from then on the icing speeds hold"),
        ),
    ),
    Record(
        "shear",
        "wind that is added in a layer and for a time",
        (
            Key("from", _DIRECTION, "magnetic direction it blows from", required=True),
            Key("speed", quantity("kt", 1, 60), "its speed when full", required=True),
            Key("bottom", quantity("ft", 0, 10000), "above the field", default="0 ft"),
            Key("top", quantity("ft", 100, 20000), "above the field", default="2000 ft"),
            Key("rise", quantity("s", 1, 120), "in which it grows and goes", default="5 s"),
            Key("for", quantity("s", 0, 600), "how long it stays; 0 = for good", default="0 s"),
        ),
    ),
    Record(
        "wind layer",
        "wind at a height; straight lines between layers",
        (
            Key("height", quantity("ft", 0, 45000), "above the field", required=True),
            Key("from", _DIRECTION, "magnetic direction it blows from", required=True),
            Key("speed", quantity("kt", 0, 150), "its speed", required=True),
        ),
    ),
    Record(
        "event",
        "something that happens once",
        (
            Key("event", TEXT, "its name, unique in the exercise", required=True),
            Key("when", MOMENT, "the moment", required=True),
            Key("atc", TEXT, "what is said on the radio; {callsign} and others are filled in"),
            Key("grants", choice(*words.GRANTS), "the clearance it gives"),
            Key("assigns", record("assigned"), "values that are read back and then set"),
            Key("items", choice("derived", "none"), "whether read back and set become items",
                default="derived"),
            Key("fault", record("fault"), "something fails"),
            Key("answers", choices(*words.ANSWERS), "accepted answers to the fault"),
            Key("shear", record("shear"), "the wind changes"),
            Key("weather", record("weather change"), "what can be seen changes"),
        ),
    ),
    Record(
        "assigned",
        "values of a clearance",
        (
            Key("altitude", _ALTITUDE, "cleared altitude"),
            Key("heading", _DIRECTION, "heading to fly"),
            Key("speed", _SPEED, "speed to keep"),
            Key("setting", _PRESSURE, "altimeter setting"),
            Key("distance", quantity("NM", 0, 60), "until this distance"),
        ),
    ),
    Record(
        "fault",
        "a failure",
        (
            Key("signal", choice(*words.FAULTY_SIGNALS), "a signal of the approach"),
            Key("system", choice(*words.FAULT_SYSTEMS),
                "a system on board, which becomes failed; the other side's course: turned"),
            Key("becomes", choice(*words.SIGNAL_FAULTS, "no path", "failed", "turned"),
                "what it does; the position of an rnp final: flagged, or no path (LNAV at best)",
                required=True),
            Key("for", _DELAY, "how long (a signal); left out = for good", default="0 s"),
        ),
        one_of=(("signal", "system"),),
    ),
    Record(
        "vary",
        "something a seed draws",
        (
            Key("value", TEXT, "path of a written value, such as weather.wind.2.speed"),
            Key("from", TEXT, "lowest value with its unit"),
            Key("to", TEXT, "highest value with its unit"),
            Key("choose", texts(12), "names of events, or nothing; one of them is drawn"),
        ),
        one_of=(("value", "choose"),),
    ),
    Record(
        "change",
        "a change to the flow",
        (
            Key("change", TEXT, "item whose keys are replaced"),
            Key("remove", TEXT, "item that does not exist here"),
            Key("add", record("item"), "a further item"),
            Key("after", TEXT, "only with add: the item it follows"),
            *ITEM_KEYS,
        ),
        one_of=(("change", "remove", "add"),),
    ),
    Record(
        "trap",
        "a temptation: a crew that gives in, and the one finding that catches it",
        (
            Key("trap", TEXT, "its name", required=True),
            Key("crew", records("edit", 10), "edits of the perfect crew", required=True),
            Key("caught as", record("caught"), "the finding", required=True),
        ),
    ),
    Record(
        "slip",
        "an edit of what the colleague does, for the seat that monitors",
        (*_EDITS, Key("caught by", TEXT, "the item that finds it", required=True)),
        one_of=(("omit", "delay", "advance", "replace", "swap"),),
    ),
    Record(
        "caught",
        "an item and its verdict",
        (
            Key("item", TEXT, "the item", required=True),
            Key("verdict", choice(*words.VERDICTS), "its verdict", required=True),
        ),
    ),
    Record(
        "edit",
        "one change to the perfect crew",
        _EDITS,
        one_of=(("omit", "delay", "advance", "replace", "swap"),),
    ),
    Record("replacement", "an act done instead", ACTING,
           one_of=(tuple(key.name for key in ACTING),)),
    Record(
        "crew",
        "a scripted crew",
        (
            Key("crew", VERSION, "version of the format", required=True),
            Key("base", choice("none", "perfect"), "who acts besides the script", default="none"),
            Key("edits", records("edit", 100), "changes to the perfect crew"),
            Key("acts", records("act", 1000), "what is done, and when"),
        ),
    ),
    Record(
        "act",
        "one act of a scripted crew",
        (
            Key("at", _DELAY, "time since the start"),
            Key("when", MOMENT, "the first time this is so"),
            Key("plus", _DELAY, "so much later", default="0 s"),
            *ACTING,
            Key("with", Shape("named text", most=12), "values of a read-back that differ"),
            Key("checklist", TEXT, "start this checklist"),
            Key("line", ANSWER, "confirm the open challenge; judged is only whether it is so"),
        ),
        one_of=(("at", "when"), (*tuple(key.name for key in ACTING), "checklist", "line")),
    ),
)  # fmt: skip
"""Records of the exercise and the crew file."""
