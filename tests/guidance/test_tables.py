from __future__ import annotations

import pytest

from tests.guidance.rig import Rig
from tests.guidance.table_check import diagram, problems
from trainer.guidance.conditions import CONDITIONS
from trainer.guidance.machines import Axis, machine
from trainer.guidance.modes import CODED, ENGAGEMENT, LATERAL, THRUST, VERTICAL
from trainer.guidance.tables import TABLES, Rule, Table, states

SOUND = Table(
    "light",
    ("red", "green"),
    ("red",),
    (Rule("go", ("red",), "green"), Rule("stop", ("green",), "red")),
)


@pytest.mark.parametrize("axis", TABLES)
def test_every_table_is_sound(axis: str) -> None:
    assert problems(TABLES[axis]) == []


@pytest.mark.parametrize(
    ("axis", "vocabulary"),
    [("lateral", LATERAL), ("vertical", VERTICAL), ("thrust", THRUST), ("engagement", ENGAGEMENT)],
)
def test_an_axis_shows_only_words_of_the_annunciator(
    axis: str, vocabulary: tuple[str, ...]
) -> None:
    # Both paths read PATH; which one is flown is a state of its own.
    assert set(states(TABLES[axis])) - {CODED} <= set(vocabulary)


def test_every_condition_is_used_by_a_table() -> None:
    named = {name for t in TABLES.values() for rule in t.rules for name in rule.conditions}
    assert named == set(CONDITIONS)


def test_a_state_outside_the_vocabulary_is_found() -> None:
    table = SOUND._replace(rules=(*SOUND.rules, Rule("go", ("green",), "blue")))
    assert problems(table) == ["light: go: unknown state blue"]


def test_a_state_that_nothing_leads_to_is_found() -> None:
    table = SOUND._replace(
        vocabulary=("red", "green", "amber"), rules=(*SOUND.rules, Rule("go", ("amber",), "green"))
    )
    assert problems(table) == ["light: no row leads to amber"]


def test_a_misspelt_condition_is_found() -> None:
    table = SOUND._replace(rules=(*SOUND.rules, Rule("wait", ("red",), "red", ("lucky",))))
    assert problems(table) == ["light: wait: unknown condition lucky"]


def test_a_row_behind_an_unconditional_one_is_found() -> None:
    table = SOUND._replace(rules=(*SOUND.rules, Rule("go", ("red",), "red")))
    assert problems(table) == ["light: go from red is never reached"]


@pytest.mark.parametrize("axis", TABLES)
def test_a_machine_has_the_transitions_of_its_table_and_no_others(axis: str) -> None:
    built = {
        (event.name, transition.source, transition.dest)
        for event in machine(axis).events.values()
        for rows in event.transitions.values()
        for transition in rows
    }
    rules = TABLES[axis].rules
    assert built == {(r.trigger, source, r.dest) for r in rules for source in r.sources}


def test_an_axis_refuses_to_begin_where_its_table_has_no_state() -> None:
    with pytest.raises(ValueError, match="lateral cannot begin in PATH"):
        Axis("lateral", "PATH")


def test_a_refused_trigger_leaves_the_state_and_gives_the_sentence() -> None:
    now = Rig()
    axis = Axis("thrust", "OFF")
    situation = now.guidance._core.situation(now.sensed(), now.selectors)
    assert axis.fire("close", situation) == "not available in OFF"
    assert axis.state == "OFF"


def test_the_diagram_draws_every_row() -> None:
    text = diagram("vertical")
    assert text.startswith("stateDiagram-v2\n")
    assert 'state "ALT CAP" as ALT_CAP' in text
    assert "ALT_CAP --> ALT: level off [level]" in text
    arrows = sum(len(rule.sources) for rule in TABLES["vertical"].rules)
    assert text.count("-->") == arrows + len(TABLES["vertical"].initial)
