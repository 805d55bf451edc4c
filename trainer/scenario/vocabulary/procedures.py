"""Tables of the flow file (items, watches, gates, checklists) and of the house file."""

from __future__ import annotations

from trainer.scenario.controls import CONTROLS
from trainer.scenario.vocabulary import words
from trainer.scenario.vocabulary.shapes import (
    EACH,
    FLAG,
    MOMENT,
    PROSE,
    STEM,
    TEXT,
    VERSION,
    WHEN,
    Key,
    Record,
    Shape,
    choice,
    choices,
    figure,
    integer,
    named_record,
    named_records,
    number,
    quantity,
    record,
    records,
    texts,
)

_SELECTORS = tuple(
    Key(control.name, figure(control.name, control.unit, control.low, control.high), control.help)
    for control in CONTROLS.values()
    if control.kind == "selector"
)

EXPECTATIONS = ("do", "set", "say", "read back", "checklist")
"""What an item may expect: exactly one of these (a call may stand beside `do` or `set`)."""

ACTING = (
    Key("do", Shape("lever"), "press a button or move a lever: CONTROL [POSITION]"),
    Key("set", record("setting"), "turn a selector to a value"),
    Key("say", TEXT, "make a call, by its intent in the house words"),
    Key("read back", TEXT, "read back the clearance of an event"),
)
"""The four acts of a crew."""

ITEM_KEYS = (
    Key("if", record("condition"), "false = the item does not exist; settled before the flight"),
    Key("role", choice(*words.ROLES), "whose item it is", default="either"),
    *ACTING,
    Key("checklist", TEXT, "start this checklist of the flow"),
    Key("response", TEXT, "what the other pilot answers to the call; nothing for one pilot alone"),
    Key("opens", MOMENT, "from here on it is right; default: the start"),
    Key("aim", MOMENT, "where a good crew acts (crews only)"),
    Key("due", WHEN, "after this it is late; a duration counts from opening"),
    Key("closes", WHEN, "after this it is missed"),
    Key("void", MOMENT, "from here on it no longer counts"),
    Key("early", choice(*words.EARLY), "what acting before opening means", default="fine"),
    Key("each", EACH, "recurring: an instance each time"),
    Key("while", MOMENT, "only with each: instances only while this is so"),
    Key("variants", named_record("variant"), "other accepted techniques"),
    Key("group", TEXT, "order is judged only in groups declared ordered"),
    Key("weight", number(0, 10), "share of the points", default="1"),
    Key("area", choice(*words.AREAS), "in which points are summed"),
    Key("why", PROSE, "the reason, shown in the debrief"),
    Key("source", TEXT, "where the rule is published, or: common practice"),
)
"""Keys of an item besides its name."""

_CRITERIA = {
    "localizer": (quantity("dot", 0.1, 2.5), "largest deviation"),
    "glideslope": (quantity("dot", 0.1, 2.5), "largest deviation"),
    "speed above": (quantity("kt", 0, 50), "largest excess over the speed of the gate"),
    "speed below": (quantity("kt", 0, 50), "largest lack below the speed of the gate"),
    "sink": (quantity("ft/min", 100, 3000), "largest sink rate"),
    "configuration": (
        choice("landing", "approach"),
        "gear down and a landing flap stage; approach: the approach stage or a later one",
    ),
    "thrust idle": (quantity("s", 0, 30), "longest time at idle"),
    "checklist": (TEXT, "checklist that must be complete"),
    "bank": (quantity("deg", 1, 45), "largest bank"),
    "path": (quantity("ft", 20, 500), "largest distance from the published descent path"),
    "track": (quantity("dot", 0.1, 2.5), "largest deviation from an RNP final; a dot is its RNP"),
}

_FAMILY = choice("jet", "turboprop", "piston")
_FLOW_KEYS = (
    Key("pilots", integer(1, 2), "one alone has nobody who calls deviations", default="2"),
    Key("announce", choices(*words.ANNOUNCE), "mode changes that are announced"),
    Key("ordered", texts(30), "groups in which the order is judged"),
    Key("go around", records("item", 100), "what is expected after a go-around"),
    Key("watches", records("watch", 60), "what must never, or always, be so"),
    Key("gates", records("gate", 6), "stable-approach gates"),
    Key("segments", records("segment", 12), "parts of the flight to practise one at a time"),
    Key(
        "add-on",
        quantity("ft", 0, 200),
        "added to a minimum descent altitude, so that it is not passed in a go-around",
        default="0 ft",
    ),
    Key("checklists", named_records("line", 20), "challenges and responses by name"),
    Key("notes", PROSE, "remarks for readers"),
)

TABLES = (
    Record(
        "flow",
        "what a crew of one family does on one kind of approach",
        (
            Key("format", VERSION, "version of the format", required=True),
            Key("title", TEXT, "name shown", required=True),
            Key("family", _FAMILY, "types it is for", required=True),
            Key("items", records("item", 200), "what is expected", required=True),
            *_FLOW_KEYS,
        ),
    ),
    Record(
        "based flow",
        "a flow that says only how it differs from another one",
        (
            Key("format", VERSION, "version of the format", required=True),
            Key("title", TEXT, "name shown", required=True),
            Key("based on", STEM, "the flow it builds on, which stands alone", required=True),
            Key("family", _FAMILY, "types it is for; default: those of the other flow"),
            Key("changes", records("change", 60), "changes to the items of the other flow"),
            Key("items", records("item", 200), "further items"),
            *_FLOW_KEYS,
        ),
    ),
    Record(
        "item",
        "one expected crew action and its window",
        (Key("item", TEXT, "its name, unique in the flow", required=True), *ITEM_KEYS),
    ),
    Record(
        "variant",
        "what differs in another accepted technique",
        tuple(key for key in ITEM_KEYS if key.name not in ("if", "variants", "checklist")),
    ),
    Record("setting", "one selector and its value", _SELECTORS,
           one_of=(tuple(key.name for key in _SELECTORS),)),
    Record(
        "condition",
        "something settled before the flight; every line must hold",
        (Key("aircraft", record("type condition"), "what the type must be", required=True),),
    ),
    Record(
        "type condition",
        "properties of a type",
        (
            Key("gear", choice("retractable", "fixed"), "its gear"),
            Key("capability", choice("PASSIVE", "OPERATIONAL"), "automatic landing it offers"),
            Key("early arming", choices(*words.ARMING), "its arming behaviour"),
            Key("autothrust", choice("fitted", "none"), "its thrust"),
            Key("control", TEXT, "a control it must have"),
            Key("flaps", choice(*words.FLAP_ROLES), "a flap role it must have"),
        ),
    ),
    Record(
        "watch",
        "something that must never (or always) be so",
        (
            Key("watch", TEXT, "its name", required=True),
            Key("never", MOMENT, "a finding while this is so"),
            Key("always", MOMENT, "a finding while this is not so"),
            Key("limit", choice(*words.LIMITS), "limit speeds of the type"),
            Key("mismatch", choice("modes"), "said what was not shown"),
            Key("while", MOMENT, "only while this is so"),
            Key("for", quantity("s", 0, 600), "only when it lasts", default="0 s"),
            Key("unless said", TEXT, "not once this call was made"),
            Key("severity", choice(*words.SEVERITIES), "how grave", default="minor"),
            Key("causes", choices(*words.CAUSES), "what may explain it"),
            Key("why", PROSE, "the reason", required=True),
            Key("source", TEXT, "where it is published", required=True),
        ),
        one_of=(("never", "always", "limit", "mismatch"),),
    ),
    Record(
        "gate",
        "a height at which all criteria must hold",
        (
            Key("gate", TEXT, "its name", required=True),
            Key("height", quantity("ft", 50, 3000), "above the field", required=True),
            Key("main", FLAG, "the gate that the energy margin is counted to", default="false"),
            Key("speed", quantity("kt", 40, 250),
                "what its speeds are counted from; default: the final approach speed"),
            Key("criteria", record("criteria"), "what must hold", required=True),
            Key("source", TEXT, "where it is published", required=True),
        ),
    ),
    Record(
        "segment",
        "a part of the flight to practise by itself; a good crew flies up to it",
        (
            Key("segment", TEXT, "its name", required=True),
            Key("from", MOMENT, "where the pilot takes over; the start if not given"),
            Key("until", MOMENT, "where it ends; the end of the flight if not given"),
        ),
    ),
    Record(
        "criteria",
        "conditions of a gate",
        tuple(Key(name, *_CRITERIA[name]) for name in words.CRITERIA),
    ),
    Record(
        "line",
        "a challenge and what makes the answer true",
        (
            Key("challenge", TEXT, "what is asked", required=True),
            Key("answer", TEXT, "what is answered"),
            Key("answers", Shape("moments", most=8), "state that makes the answer true"),
            Key("by", choice("flying", "monitoring", "either"), "who answers", default="either"),
            Key("if", record("condition"), "false = the line does not exist"),
        ),
    ),
    Record(
        "house",
        "the words of one house",
        (
            Key("format", VERSION, "version of the format"),
            Key("house", TEXT, "name, as its file", required=True),
            Key("title", TEXT, "name shown"),
            Key("words", Shape("named texts", most=400), "phrases by intent", required=True),
            Key("short", Shape("named text", most=200), "two-letter forms"),
            Key("roles", Shape("named text", most=60), "words for roles"),
            Key("limits", Shape("named text", most=60), "call thresholds"),
            Key("changes", records("house change", 60), "overrides of flows"),
            Key("notes", PROSE, "remarks for readers"),
        ),
    ),
    Record(
        "house change",
        "an override of one flow, written by \"our procedure differs\"",
        (
            Key("flow", Shape("stem"), "the flow it is for", required=True),
            Key("change", TEXT, "item whose keys are replaced"),
            Key("remove", TEXT, "item that does not exist here"),
            *ITEM_KEYS,
        ),
        one_of=(("change", "remove"),),
    ),
)  # fmt: skip
"""Records of the flow and the house file."""
