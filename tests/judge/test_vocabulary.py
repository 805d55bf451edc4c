"""The words a file may use are the words that are evaluated: lists kept in two places agree."""

from __future__ import annotations

from trainer.flight.shown import SUBJECTS
from trainer.guidance import modes
from trainer.judge.causes import CAUSES, CRITERION_CAUSES
from trainer.judge.gates import CRITERIA
from trainer.judge.judgement import DEDUCTIONS, VERDICTS
from trainer.judge.tracks import URGENCY
from trainer.judge.truth import MODE_CLAIMS
from trainer.scenario.controls import CONTROLS
from trainer.scenario.vocabulary import words


def test_mode_words_of_files_are_those_of_guidance() -> None:
    assert set(words.MODES["lateral"]) == set(modes.LATERAL)
    assert set(words.MODES["vertical"]) == set(modes.VERTICAL)
    assert set(words.MODES["lateral armed"]) == set(modes.LATERAL_ARMED)
    assert set(words.MODES["vertical armed"]) == set(modes.VERTICAL_ARMED)
    assert set(words.MODES["thrust"]) == set(modes.THRUST)
    assert set(words.MODES["engagement"]) == set(modes.ENGAGEMENT)


def test_every_quantity_of_the_grammar_is_read_from_a_row() -> None:
    written = {*words.SUBJECTS, *words.SIGNALS}
    written |= {f"selected {one.name}" for one in CONTROLS.values() if one.kind == "selector"}
    assert written == set(SUBJECTS)


def test_criteria_causes_severities_and_verdicts_are_one_list_each() -> None:
    assert set(words.CRITERIA) == set(CRITERIA) == set(CRITERION_CAUSES)
    assert set(words.CAUSES) == set(CAUSES)
    assert set(words.SEVERITIES) == set(DEDUCTIONS)
    assert set(words.VERDICTS) == set(VERDICTS)
    assert set(URGENCY) <= set(words.AREAS)


def test_every_cause_a_control_touches_is_in_the_table() -> None:
    for control in CONTROLS.values():
        assert set(control.touches) <= set(CAUSES), control.name


def test_every_mode_word_that_is_shown_has_a_call() -> None:
    claimed = set(MODE_CLAIMS.values())
    shown = {("lateral", word) for word in modes.LATERAL}
    shown |= {("vertical", word) for word in modes.VERTICAL}
    shown |= {("lateral armed", word) for word in modes.LATERAL_ARMED}
    shown |= {("vertical armed", word) for word in modes.VERTICAL_ARMED}
    # One call names the go-around, lateral and vertical together.
    assert shown - claimed == {("lateral", "GA")}
