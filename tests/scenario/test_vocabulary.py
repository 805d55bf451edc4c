"""The vocabulary agrees with itself and with what the engine knows."""

from __future__ import annotations

import pytest

from tests.scenario import corpus
from trainer.guidance import modes
from trainer.scenario import fields
from trainer.scenario.controls import CONTROLS
from trainer.scenario.nodes import Mapping, Scalar, Source
from trainer.scenario.reading import Reading
from trainer.scenario.vocabulary import words
from trainer.scenario.vocabulary.tables import RECORDS
from trainer.scenario.words import READ_BACKS, SLOTS
from trainer.world.coverage import coverage_for

KEYS = [(record.name, key.name) for record in RECORDS.values() for key in record.keys]


def test_the_words_of_the_annunciator_are_those_of_the_guidance() -> None:
    assert words.MODES == {
        "lateral": modes.LATERAL,
        "vertical": modes.VERTICAL,
        "lateral armed": modes.LATERAL_ARMED,
        "vertical armed": modes.VERTICAL_ARMED,
        "thrust": modes.THRUST,
        "engagement": modes.ENGAGEMENT,
        "capability": modes.CAPABILITY,
    }


def test_every_coverage_profile_exists() -> None:
    for profile in words.COVERAGE:
        coverage_for(profile)


def test_every_named_value_is_known_to_an_exercise() -> None:
    smallest = corpus.smallest()
    known = {*smallest.figures(), *smallest.speed_figures(True), *smallest.minimum_figures("")}
    assigned = {"assigned speed", "assigned altitude", "assigned heading"}
    in_flight = {"segment minimum", "descent rate", "torque for the speed", "LNAV minimum"}
    assert set(words.NAMED_VALUES) == known | assigned | in_flight


def test_every_clearance_can_be_read_back() -> None:
    assert set(words.GRANTS) == set(READ_BACKS)
    assert set(words.ASSIGNED_CONTROLS) <= set(SLOTS)


def test_assigned_values_are_set_on_selectors() -> None:
    for control in words.ASSIGNED_CONTROLS.values():
        assert CONTROLS[control].kind == "selector"


@pytest.mark.parametrize(("record", "key"), KEYS, ids=str)
def test_every_key_has_help_and_refers_to_a_record_that_exists(record: str, key: str) -> None:
    row = next(row for row in RECORDS[record].keys if row.name == key)
    assert row.help
    assert not row.help.endswith(".")
    assert not (row.required and row.default)
    if row.shape.record:
        assert row.shape.record in RECORDS


def test_every_default_reads_as_a_value() -> None:
    source = Source("defaults")
    for record in RECORDS.values():
        for key in record.keys:
            if key.default:
                reading = Reading()
                node = Scalar(source, 0, 0, key.default, False)
                pairs = ((Scalar(source, 0, 0, key.name, False), node),)
                found = fields.read(Mapping(source, 0, 0, pairs), record.name, reading)
                assert found is not None
                assert key.name in found, (record.name, key.name)


def test_keys_are_unique_and_groups_name_keys() -> None:
    for record in RECORDS.values():
        names = record.names()
        assert len(names) == len(set(names)), record.name
        for group in (*record.one_of, *record.at_most_one):
            assert set(group) <= set(names), record.name
