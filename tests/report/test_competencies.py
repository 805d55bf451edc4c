"""Competencies are counted by the closed table, each occasion once, and never graded."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.briefing.sample import exercise
from tests.report.judged import GATES, ROWS, WATCHES, item, judgement
from trainer.report.competencies import AREAS, CAUSES, NAMES, PATH, not_observed, observed
from trainer.scenario.vocabulary import words


def counted(**changes: object) -> dict[tuple[str, str], tuple[int, int, int]]:
    made = replace(judgement(), **{"items": (), "watches": (), "gates": (), **changes})  # type: ignore[arg-type]
    return {
        (one.code, one.behaviour): (one.shown, one.put_right, one.not_shown)
        for one in observed(made, exercise(), ROWS)
    }


def test_the_nine_codes_are_those_of_the_published_framework() -> None:
    # EASA AMC1 ORO.FC.231(b), from memory; the first six were read in an examiner manual.
    assert list(NAMES) == ["KNO", "PRO", "COM", "FPA", "FPM", "LTW", "PSD", "SAW", "WLM"]


def test_every_area_and_every_cause_of_the_format_has_its_code() -> None:
    assert set(AREAS) == set(words.AREAS)
    assert set(CAUSES) >= set(words.CAUSES)
    for code, _ in (*AREAS.values(), *CAUSES.values()):
        assert code in NAMES or code == PATH


def test_an_item_counts_as_shown_put_right_or_not_shown() -> None:
    items = (
        item("a", "on time", area="decision"),
        item("b", "late", area="decision", credit=0.25),
        item("c", "late", area="decision", credit=0.0),
        item("d", "wrong", area="decision", credit=0.5, is_corrected=True),
        item("e", "missed", area="decision", credit=0.0),
        item("f", "not reached", area="decision", credit=None),
    )
    found = {code: counts for (code, _), counts in counted(items=items).items()}
    assert found["PSD"] == (1, 2, 2)


def test_the_path_is_automation_or_manual_control_by_what_is_engaged() -> None:
    items = (item("gear down", "on time", done=150), item("landing flap", "on time", done=600))
    by_hand = [
        one if one.step < 500 else one._replace(modes=one.modes._replace(engagement="FD"))
        for one in ROWS
    ]
    made = replace(judgement(), items=items, watches=(), gates=())
    found = {one.code: one.shown for one in observed(made, exercise(), by_hand)}
    assert found == {"FPA": 1, "FPM": 1}


def test_a_consequence_is_no_second_occasion() -> None:
    follows = replace(WATCHES[1], because="gear down")
    assert counted(watches=(follows,), gates=GATES) == {}
    assert sum(sum(counts) for counts in counted(watches=WATCHES).values()) == 1


def test_a_failed_gate_of_its_own_and_a_passed_one_are_occasions() -> None:
    passed = replace(GATES[0], result="passed", failed=(), because=None)
    failed = replace(GATES[0], because=None)
    assert counted(gates=(passed, failed)) == {("FPA", "is stable at the gate"): (1, 0, 1)}


def test_workload_counts_what_was_done_while_others_were_open() -> None:
    items = tuple(item(name, "on time", done=150) for name in "abc")
    found = {code: counts for (code, _), counts in counted(items=items).items()}
    assert found["WLM"] == (3, 0, 0)
    found = {code: counts for (code, _), counts in counted(items=items[:2]).items()}
    assert "WLM" not in found


def test_a_lapse_says_when_and_what() -> None:
    made = replace(judgement(), watches=(), gates=(), items=(item("gear down", "late", done=260),))
    lapses = [lapse for one in observed(made, exercise(), ROWS) for lapse in one.lapses]
    assert lapses == [(260, "gear down: late")]


def test_codes_without_an_occasion_are_named() -> None:
    made = replace(judgement(), watches=(), gates=(), items=(item("gear down", "on time"),))
    found = observed(made, exercise(), ROWS)
    assert not_observed(found) == tuple(code for code in NAMES if code != "FPA")


def test_the_table_in_the_docs_is_the_one_that_is_used() -> None:
    page = (Path(__file__).parents[2] / "docs" / "judging.md").read_text(encoding="utf-8")
    section = page.partition("## Competencies")[2].partition("\n## ")[0]
    rows = [line.strip("| ").split(" | ") for line in section.splitlines() if line.startswith("| ")]
    assert rows[2:] == [[area, *kind] for area, kind in AREAS.items()]
