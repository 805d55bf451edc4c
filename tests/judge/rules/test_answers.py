"""Answers to a fault: which are accepted, what another one is, and what silence is."""

from __future__ import annotations

from typing import Any

import pytest

from tests.builders import WORDS, exercise, modes, press, row, say
from tests.judge.fold import Deed
from trainer.flight.acts import Fact
from trainer.judge.judgement import ItemVerdict, Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude
from trainer.scenario.answers import ANSWER_ACTS, answer_item
from trainer.scenario.exercise import Act, Event, Fault, Item
from trainer.scenario.moments import START, Happened
from trainer.scenario.phrases import PhraseBook
from trainer.scenario.vocabulary import words

AROUND = {"modes": modes(vertical="GA", thrust="GA")}
SPOKEN = {"continue": ("continue",), "landing": ("landing",), "discontinue": ("discontinue",)}


def answer(*accepted: str) -> Item:
    fault = Fault("", "failed", 0.0, "autopilot 2")
    made = answer_item(Event("loss", START, fault=fault, answers=accepted))
    assert made is not None
    return made


def judged(
    items: tuple[Item, ...], *deeds: Deed, changes: dict[int, dict[str, Any]] | None = None
) -> Judgement:
    """The fault comes at step 10; 30 s are judged. `changes[n]` hold from row n on."""
    book = PhraseBook({**WORDS, **SPOKEN}, {}, {"fix": ["ORVEN"]})
    tracker = Tracker(exercise(items), book)
    state: dict[str, Any] = {}
    rows = [row(0)]
    tracker.start(rows[0])
    for step in range(300):
        state.update((changes or {}).get(step + 1, {}))
        rows.append(row(step + 1, **state))
        facts = [fact for _, fact in deeds if fact.step == step]
        if step == 10:
            facts.append(Fact(step, "event", "loss"))
        tracker.advance([act for act, _ in deeds if act.step == step], facts, rows[-1])
    return conclude(tracker, rows, "stopped on the runway")


def only(judgement: Judgement) -> ItemVerdict:
    (item,) = judgement.items
    return item


def test_every_answer_of_the_closed_list_has_an_act() -> None:
    assert tuple(ANSWER_ACTS) == words.ANSWERS
    assert len(set(ANSWER_ACTS.values())) == len(ANSWER_ACTS)


def test_an_event_without_a_fault_asks_for_no_answer() -> None:
    assert answer_item(Event("cleared", START, grants="approach")) is None


@pytest.mark.parametrize("accepted", [("continue", "go around"), ("go around", "continue")])
def test_any_accepted_answer_is_as_right_as_the_first(accepted: tuple[str, ...]) -> None:
    said = only(judged((answer(*accepted),), say(40, "continue")))
    assert (said.verdict, said.found) == ("on time", 'said "continue"')
    pressed = only(judged((answer(*accepted),), press(40, "go-around"), changes={41: AROUND}))
    assert pressed.verdict == "on time"


def test_an_answer_that_is_not_accepted_is_wrong_and_says_what_was() -> None:
    found = only(judged((answer("continue", "land visually"),), say(40, "discontinue")))
    assert (found.verdict, found.credit) == ("wrong", 0.0)
    assert found.found == 'said "discontinue"; that is not accepted here'
    assert found.expected == 'call "continue" or call "landing"'


def test_going_around_where_only_continuing_is_right_is_wrong() -> None:
    found = only(judged((answer("continue"),), press(40, "go-around"), changes={41: AROUND}))
    assert found.verdict == "wrong"
    assert found.found.startswith("go-around at ")


def test_a_go_around_button_without_effect_answers_nothing() -> None:
    found = only(judged((answer("go around"),), press(40, "go-around")))
    assert found.verdict == "missed"


def test_a_wrong_answer_put_right_later_keeps_half_and_at_once_all() -> None:
    item = answer("continue")
    late = only(judged((item,), say(40, "discontinue"), say(80, "continue")))
    assert (late.verdict, late.is_corrected, late.credit) == ("wrong", True, 0.5)
    at_once = only(judged((item,), say(40, "discontinue"), say(60, "continue")))
    assert at_once.verdict == "on time"


def test_silence_is_missed_and_a_slow_answer_late() -> None:
    assert only(judged((answer("continue"),))).verdict == "missed"
    assert only(judged((answer("continue"),), say(120, "continue"))).verdict == "late"


def test_landing_is_no_answer_while_the_runway_is_not_seen() -> None:
    item = answer("land visually")
    unseen = only(judged((item,), say(40, "landing")))
    assert (unseen.verdict, unseen.found) == ("wrong", 'said "landing"; in sight was nothing')
    seen = only(judged((item,), say(40, "landing"), changes={0: {}, 20: {"sees": "runway"}}))
    assert seen.verdict == "on time"


def test_what_is_so_already_when_the_fault_comes_is_an_answer() -> None:
    off = {"modes": modes(engagement="FD")}
    found = only(judged((answer("disconnect"),), changes={5: off}))
    assert (found.verdict, found.found) == ("on time", "already so when it fell due")


def test_one_act_answers_the_fault_and_settles_the_item_that_waited_for_it() -> None:
    waiting = Item("go around", Act("do", control="go-around"), opens=Happened("event", "loss"))
    found = judged((answer("go around"), waiting), press(40, "go-around"), changes={41: AROUND})
    assert {item.item: item.verdict for item in found.items} == {
        "answer to loss": "on time",
        "go around": "on time",
    }
    assert found.unmatched == ()


def test_what_is_on_the_list_of_no_answers_answers_nothing() -> None:
    found = judged((answer("continue"),), press(40, "heading mode"), say(50, "checked"),
                   changes={41: {"modes": modes(lateral="HDG")}})  # fmt: skip
    assert only(found).verdict == "missed"
    assert [one.split(" at ")[0] for one in found.unmatched] == ["heading mode", 'said "checked"']


def test_an_answer_is_used_and_touches_nothing_but_its_fault() -> None:
    waiting = Item("gear down", Act("do", "gear", "down"), opens=Happened("event", "loss"), due=5.0)
    found = judged((answer("go around"), waiting), press(40, "go-around"), changes={41: AROUND})
    assert {item.item: item.verdict for item in found.items} == {
        "answer to loss": "on time",
        "gear down": "missed",
    }
    assert found.unmatched == ()


def test_a_button_before_its_fault_is_no_early_answer() -> None:
    found = judged((answer("go around"),), press(5, "go-around"))
    assert len(found.unmatched) == 1
    assert only(found).verdict == "missed"


def test_before_the_fault_and_after_its_answer_the_words_answer_nothing() -> None:
    found = only(judged((answer("continue"),), say(5, "discontinue"), say(40, "continue"),
                        say(60, "discontinue")))  # fmt: skip
    assert found.verdict == "on time"
