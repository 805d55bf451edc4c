"""What a mutant is: one slip of the perfect crew, by fixed figures, and nothing hidden.

Late is 4 s after the item's own due, early 5 s before its opening in the reference flight; wrong
words are a call that no item expects and that is false there; a wrong value is right for no item of
its control.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.crew.crews import exercise, flown
from trainer.crew.session import Session
from trainer.flight.observers import NEVER
from trainer.judge.tracks import Track
from trainer.judge.truth import contradiction
from trainer.proof.mutants import Mutant, mutants_of
from trainer.proof.prove import fly_perfect
from trainer.scenario.phrases import Call

NAME = "straight-in"
KINDS = ("omitted", "late", "early", "wrong value", "wrong words")


@cache
def reference() -> Session:
    return flown(NAME)[0]


@cache
def made() -> tuple[dict[str, Mutant], dict[str, str]]:
    """The mutants of a flight by name, and why others do not apply."""
    session = reference()
    mutants, skipped = mutants_of(session.exercise, session.tracker, session.flight.rows)
    return {one.name: one for one in mutants}, {one.name: one.reason for one in skipped}


def of(kind: str) -> list[tuple[Mutant, Track]]:
    """The mutants of a kind, each with its item as the reference flight had it."""
    tracks = {track.name: track for track in reference().tracker.tracks}
    return [
        (one, tracks[one.item]) for name, one in made()[0].items() if name.startswith(f"{kind}: ")
    ]


def test_every_item_has_every_mutant_or_a_reason_why_not() -> None:
    mutants, skipped = made()
    for track in reference().tracker.tracks:
        for kind in KINDS:
            name = f"{kind}: {track.name}"
            assert name in mutants or skipped.get(name) or skipped.get(track.name), name
    assert not set(mutants) & set(skipped)


def test_an_omitted_act_is_missed() -> None:
    assert len(of("omitted")) > 40
    assert all((one.edits[0].kind, one.verdict) == ("omit", "missed") for one, _ in of("omitted"))


def test_late_is_four_seconds_after_the_items_own_due() -> None:
    assert {(one.edits[0].kind, one.edits[0].seconds) for one, _ in of("late")} == {("delay", 4.0)}
    late, _ = next(pair for pair in of("late") if pair[1].item.act.control == "flaps")
    session, judgement = fly_perfect(exercise(NAME), reference().book, late.edits)
    track = next(one for one in session.tracker.tracks if one.name == late.item)
    assert track.done == track.due + 40
    assert judgement.primary() == {(late.item, "late")}


def test_early_is_five_seconds_before_the_opening_in_the_reference_flight() -> None:
    assert of("early")
    for one, track in of("early"):
        assert track.opened is not None
        assert one.at == track.opened - 50, one.name
        assert track.item.early != "fine"
    assert all(one.at == NEVER for one, _ in of("late"))


def test_wrong_words_are_false_and_no_item_expects_them() -> None:
    session = reference()
    expected = {track.item.act.intent for track in session.tracker.tracks}
    spoken = [pair for pair in of("wrong words") if pair[1].item.act.kind == "say"]
    assert len(spoken) > 10
    for one, track in spoken:
        act = one.edits[0].act
        assert act is not None
        assert act.intent not in expected, one.name
        assert session.book.hear(act.text).calls[0].intent == act.intent, one.name
        assert track.done is not None
        seen = session.tracker.hearing.rows_before(track.done)
        assert contradiction(Call(act.intent, ()), seen, session.exercise), one.name


def test_a_wrong_value_is_right_for_no_item_of_its_control() -> None:
    hands = reference().tracker.hands
    items = [track.item.act for track in reference().tracker.tracks]
    values = [one.edits[0].act for one, _ in of("wrong value")]
    selected = [act for act in values if act is not None and act.kind == "set"]
    assert len(selected) > 5
    for act in selected:
        assert act.figure is not None
        same = [one for one in items if one.kind == "set" and one.control == act.control]
        assert same
        assert not any(hands.is_value(one, act.figure.value) for one in same), act


@pytest.mark.parametrize("name", ["early-temptation"])
def test_the_traps_of_the_exercise_are_mutants_too(name: str) -> None:
    session = flown(name)[0]
    mutants, _ = mutants_of(session.exercise, session.tracker, session.flight.rows)
    traps = [one for one in mutants if one.name.startswith("trap: ")]
    assert [(one.item, one.verdict) for one in traps] == [
        (trap.item, trap.verdict) for trap in session.exercise.traps
    ]
    assert traps
