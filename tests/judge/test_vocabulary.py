"""The words a file may use are the words that are evaluated: lists kept in two places agree."""

from __future__ import annotations

import re

from tests.project.sources import ROOT
from trainer.flight.shown import SUBJECTS
from trainer.guidance import modes
from trainer.judge.causes import CAUSES, CRITERION_CAUSES, touches
from trainer.judge.gates import CRITERIA
from trainer.judge.judgement import DEDUCTIONS, VERDICTS
from trainer.judge.tracks import URGENCY
from trainer.judge.truth import MODE_CLAIMS
from trainer.scenario.controls import CONTROLS
from trainer.scenario.exercise import Act
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


def table_of(heading: str) -> dict[str, tuple[str, ...]]:
    """What a table of `docs/judging.md` says of each name in its first column."""
    text = (ROOT / "docs" / "judging.md").read_text(encoding="utf-8")
    _, _, rest = text.partition(f"| {heading} |")
    found: dict[str, tuple[str, ...]] = {}
    for names, causes in re.findall(r"^\| (.+?) \| (.+?) \|$", rest.partition("\n\n")[0], re.M):
        found |= dict.fromkeys(names.split(", "), tuple(causes.split(", ")))
    found.pop("---", None)
    return found


def test_the_published_table_of_causes_is_the_one_that_is_used() -> None:
    names = {"receiver": "frequency"}
    told = {
        names.get(name, name.removesuffix(" selector")): causes
        for name, causes in table_of("an error on").items()
    }
    assert told.pop("speech") == touches(Act("say")) == ("awareness",)
    assert told.pop("a checklist") == touches(Act("line")) == touches(Act("checklist"))
    assert told == {name: one.touches for name, one in CONTROLS.items()}


def test_the_published_causes_of_a_gate_are_those_that_are_used() -> None:
    assert table_of("a criterion of a gate") == CRITERION_CAUSES


def test_every_mode_word_that_is_shown_has_a_call() -> None:
    claimed = set(MODE_CLAIMS.values())
    shown = {("lateral", word) for word in modes.LATERAL}
    shown |= {("vertical", word) for word in modes.VERTICAL}
    shown |= {("lateral armed", word) for word in modes.LATERAL_ARMED}
    shown |= {("vertical armed", word) for word in modes.VERTICAL_ARMED}
    # One call names the go-around, lateral and vertical together.
    assert shown - claimed == {("lateral", "GA")}
