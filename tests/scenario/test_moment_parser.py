"""The grammar of "when", example by example."""

from __future__ import annotations

import pytest

from trainer.errors import FileProblems
from trainer.scenario import nodes
from trainer.scenario.moment_parser import PRIMITIVES, parse_moment
from trainer.scenario.moments import (
    AllOf,
    AnyOf,
    Compare,
    Figure,
    Happened,
    Held,
    Later,
    Moment,
    Not,
    Shows,
    Then,
)
from trainer.scenario.reading import Reading


def moment(text: str, *, recurring: bool = False) -> Moment:
    reading = Reading()
    found = parse_moment(nodes.parse(text, "t.yaml"), reading, is_recurring=recurring)
    reading.problems.raise_if_any()
    assert found is not None
    return found


def below(subject: str, value: float) -> Compare:
    return Compare(subject, "below", Figure(value))


GLIDE = Shows("mode", "vertical", ("GLIDE",))

EXAMPLES: dict[str, Moment] = {
    "distance: below 6 NM": below("distance", 6.0),
    "dme: below 18 NM": below("dme", 18.0),
    "altitude: falling through 4000 ft": Compare("altitude", "falling", Figure(4000.0)),
    "altitude: rising through 3400 ft": Compare("altitude", "rising", Figure(3400.0)),
    "height: below 1000 ft": below("height", 1000.0),
    "radio height: falling through 100 ft": Compare("radio height", "falling", Figure(100.0)),
    "altitude to go: falling through 1000 ft": Compare("altitude to go", "falling", Figure(1000.0)),
    "speed: below 180 kt": below("speed", 180.0),
    "speed: above reference speed plus 5 kt": Compare(
        "speed", "above", Figure(5.0, "reference speed")
    ),
    "speed: below final approach speed minus 5 kt": Compare(
        "speed", "below", Figure(-5.0, "final approach speed")
    ),
    "speed: below final approach speed": Compare(
        "speed", "below", Figure(0.0, "final approach speed")
    ),
    "altitude: falling through minimums plus 100 ft": Compare(
        "altitude", "falling", Figure(100.0, "minimums")
    ),
    "vertical speed: above 300 ft/min": Compare("vertical speed", "above", Figure(300.0)),
    "speed astray: above 5 kt": Compare("speed astray", "above", Figure(5.0)),
    "torque: below 10 percent": below("torque", 10.0),
    "deviation: {localizer: from -1 dot to 1 dot}": Compare(
        "localizer", "from", Figure(-1.0), Figure(1.0)
    ),
    "deviation: {glideslope: below -1 dot}": below("glideslope", -1.0),
    "margin: below 1 NM": below("margin", 1.0),
    "altitude: from 2900 ft to missed approach altitude": Compare(
        "altitude", "from", Figure(2900.0), Figure(0.0, "missed approach altitude")
    ),
    "signal: {glideslope: received}": Shows("signal", "glideslope", ("received",)),
    "mode: {vertical: GLIDE}": GLIDE,
    "mode: {vertical: [GLIDE, PATH]}": Shows("mode", "vertical", ("GLIDE", "PATH")),
    "mode: {engagement: OFF}": Shows("mode", "engagement", ("OFF",)),
    'mode: {capability: ""}': Shows("mode", "capability", ("",)),
    "mode: {lateral armed: LOC, vertical armed: GLIDE}": AllOf(
        (Shows("mode", "lateral armed", ("LOC",)), Shows("mode", "vertical armed", ("GLIDE",)))
    ),
    "config: {flaps: landing, gear: down}": AllOf(
        (Shows("config", "flaps", ("landing",)), Shows("config", "gear", ("down",)))
    ),
    "lever: {flaps: 22}": Shows("lever", "flaps", ("22",)),
    "lever: {autobrake: [low, medium]}": Shows("lever", "autobrake", ("low", "medium")),
    "phase: final": Shows("phase", "", ("final",)),
    "sees: runway": Shows("sees", "", ("runway",)),
    "passed: TULEP": Happened("passed", "TULEP"),
    "granted: approach": Happened("granted", "approach"),
    "event: slow down": Happened("event", "slow down"),
    "acted: gear down": Happened("acted", "gear", "down"),
    "acted: approach mode": Happened("acted", "approach mode"),
    "acted: flaps landing": Happened("acted", "flaps", "landing"),
    "acted: speed": Happened("acted", "speed"),
    "said: glide alive": Happened("said", "glide alive"),
    "done: gear down": Happened("done", "gear down"),
    "changed: announced": Happened("changed", "announced"),
    "gate: {stable: failed}": Happened("gate", "stable", "failed"),
    "last chance: stable": Happened("last chance", "stable"),
    "all: [{distance: below 6 NM}, {mode: {vertical: GLIDE}}]": AllOf(
        (below("distance", 6.0), GLIDE)
    ),
    "any: [{distance: below 6 NM}, {mode: {vertical: GLIDE}}]": AnyOf(
        (below("distance", 6.0), GLIDE)
    ),
    "not: {mode: {vertical: GLIDE}}": Not(GLIDE),
    "{distance: below 6 NM, for: 2 s}": Held(below("distance", 6.0), 2.0),
    "{passed: TULEP, plus: 2 NM}": Later(Happened("passed", "TULEP"), miles=2.0),
    "{mode: {vertical: GLIDE}, for: 2 s, plus: 3 s}": Later(Held(GLIDE, 2.0), seconds=3.0),
    # The tricky ones: between two places but not before a clearance, whichever comes first, the
    # later of two with a pause, a climb that is held after the press.
    "all: [{passed: TULEP, plus: 2 NM}, {granted: approach}]": AllOf(
        (Later(Happened("passed", "TULEP"), miles=2.0), Happened("granted", "approach"))
    ),
    "any: [{distance: below 12 NM}, {altitude: falling through 4000 ft}, {event: slow down}]": (
        AnyOf(
            (
                below("distance", 12.0),
                Compare("altitude", "falling", Figure(4000.0)),
                Happened("event", "slow down"),
            )
        )
    ),
    "all: [{done: gear down}, {done: landing flap, plus: 3 s}]": AllOf(
        (Happened("done", "gear down"), Later(Happened("done", "landing flap"), seconds=3.0))
    ),
    "then: [{acted: go-around}, {vertical speed: above 0 ft/min, for: 2 s}]": Then(
        (Happened("acted", "go-around"), Held(Compare("vertical speed", "above", Figure(0.0)), 2.0))
    ),
    "selected: {altimeter: altimeter setting}": Compare(
        "selected altimeter",
        "from",
        Figure(-0.5, "altimeter setting"),
        Figure(0.5, "altimeter setting"),
    ),
    "any: [{last chance: stable 1000}, {distance: below 5 NM}]": AnyOf(
        (Happened("last chance", "stable 1000"), below("distance", 5.0))
    ),
}


@pytest.mark.parametrize("text", EXAMPLES, ids=str)
def test_an_example_reads_as_its_moment(text: str) -> None:
    assert moment(text) == EXAMPLES[text]


def test_every_primitive_has_an_example() -> None:
    joined = " ".join(EXAMPLES)
    assert [name for name in PRIMITIVES if f"{name}:" not in joined] == []


def test_every_recurs_and_stands_only_in_each() -> None:
    every = Compare("distance", "every", Figure(1.0))
    assert moment("distance: every 1 NM", recurring=True) == every
    assert moment("any: [{distance: every 1 NM}]", recurring=True) == AnyOf((every,))
    with pytest.raises(FileProblems, match="only in each"):
        moment("distance: every 1 NM")
    with pytest.raises(FileProblems, match="greater than zero"):
        moment("distance: every 0 NM", recurring=True)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("{}", "exactly one of"),
        ("{plus: 2 s}", "exactly one of"),
        ("{passed: A, event: B}", "two moments in one mapping"),
        ("{distanse: below 1 NM}", 'did you mean "distance"'),
        ("distance: 6 NM", "is no comparison"),
        ("distance: below 6 kt", "kt is a speed"),
        ("distance: below 600 NM", "out of bounds"),
        ("distance: below final course", "does not|is not a quantity"),
        ("height: below minimums", "does not fit"),
        ("speed: below reference speed plus 5 ft", "ft is a length"),
        ("vertical speed: below 30 kt", "kt is a speed"),
        ("signal: {glideslope: good}", "expected covered"),
        ("signal: {beacon: received}", "expected localizer, glideslope, vor or track"),
        ("signal: received", "expected localizer, glideslope, vor or track"),
        ("mode: {vertical: LOC}", "GLIDE"),
        ("mode: {}", "expected lateral"),
        ("config: {gear: in}", "expected up or down"),
        ("phase: landing", "arrival"),
        ("granted: everything", "descend"),
        ("changed: mode", "announced"),
        ("acted: speed 180", "is a selector"),
        ("acted: gear sideways", "expected up or down"),
        ("gate: stable", "failed"),
        ("{granted: approach, for: 3 s}", "only for a state"),
        ("{altitude: falling through 900 ft, for: 3 s}", "only for a state"),
        ("{then: [{event: a}], for: 3 s}", "only for a state"),
        ("{passed: A, plus: soon}", "is not a quantity"),
        ("{passed: A, plus: 2 kt}", "kt is a speed"),
        ("all: {passed: A}", "expected a list"),
        ("passed: [A]", "expected a name"),
        ("passed:", "expected a name"),
    ],
)
def test_a_mistake_says_what_would_be_right(text: str, message: str) -> None:
    with pytest.raises(FileProblems, match=message):
        moment(text)


def test_names_are_noted_for_the_check_of_references() -> None:
    reading = Reading()
    text = "all: [{passed: TULEP}, {done: gear down}, {said: checked}, {lever: {flaps: landing}}]"
    parse_moment(nodes.parse(text, "t.yaml"), reading)
    assert [(one.kind, one.name) for one in reading.mentions] == [
        ("fix", "TULEP"),
        ("item", "gear down"),
        ("intent", "checked"),
        ("stage", "landing"),
    ]
