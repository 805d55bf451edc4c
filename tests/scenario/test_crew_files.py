"""Crew files: edits of the perfect crew and acts by time or by moment."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.scenario import corpus
from trainer.errors import FileProblems
from trainer.scenario import compose, crew_files
from trainer.scenario.crew_files import CrewFile, ScriptedAct
from trainer.scenario.exercise import Act, Edit, Exercise
from trainer.scenario.moments import Figure, Happened, Held, Shows


@pytest.fixture(scope="module")
def everything() -> Exercise:
    return compose.load(corpus.ROOT / "good" / "everything.yaml", corpus.corpus_library())


def test_every_edit_is_read(everything: Exercise) -> None:
    crew = crew_files.from_text(
        """
        crew: 1
        base: perfect
        edits:
          - {omit: gear down}
          - {delay: landing flap, by: 8 s}
          - {advance: "landing flap, said", by: 5 s}
          - {advance: approach mode, to: {passed: TULEP}}
          - {replace: slow, with: {set: {speed: 150 kt}}}
          - {replace: hundred, with: {say: glide armed}}
          - {replace: tune, with: {do: flaps approach}}
          - {swap: [read back cleared, set altimeter (pressure)]}
        """,
        everything,
    )
    assert crew == CrewFile(
        "perfect",
        (
            Edit("omit", "gear down"),
            Edit("delay", "landing flap", seconds=8.0),
            Edit("advance", "landing flap, said", seconds=5.0),
            Edit("advance", "approach mode", to=Happened("passed", "TULEP")),
            Edit("replace", "slow", act=Act("set", control="speed", figure=Figure(150.0))),
            Edit("replace", "hundred", act=Act("say", text="glide armed")),
            Edit("replace", "tune", act=Act("do", control="flaps", position="22")),
            Edit("swap", "read back cleared", other="set altimeter (pressure)"),
        ),
    )


def test_every_act_is_read(everything: Exercise) -> None:
    crew = crew_files.from_text(
        """
        - {at: 93.5 s, do: approach mode}
        - {when: {passed: TULEP}, plus: 2 s, say: glide alive}
        - {at: 10 s, set: {heading: 143 deg}}
        - {at: 1 min, do: flaps landing}
        - {at: 61 s, do: autopilot off}
        - {when: {event: cleared}, read back: cleared}
        - {when: {event: cleared}, read back: cleared, with: {runway: "32"}}
        - {at: 70 s, checklist: landing}
        - {at: 72 s, line: down}
        """,
        everything,
    )
    cleared = Happened("event", "cleared")
    assert crew.base == "none"
    assert crew.acts == (
        ScriptedAct(93.5, None, 0.0, Act("do", control="approach mode")),
        ScriptedAct(None, Happened("passed", "TULEP"), 2.0, Act("say", text="glide alive")),
        ScriptedAct(10.0, None, 0.0, Act("set", control="heading", figure=Figure(143.0))),
        ScriptedAct(60.0, None, 0.0, Act("do", control="flaps", position="36")),
        ScriptedAct(61.0, None, 0.0, Act("do", control="autopilot off")),
        ScriptedAct(None, cleared, 0.0, Act("read back", event="cleared")),
        ScriptedAct(None, cleared, 0.0, Act("read back", event="cleared"), (("runway", "32"),)),
        ScriptedAct(70.0, None, 0.0, Act("checklist", checklist="landing")),
        ScriptedAct(72.0, None, 0.0, Act("line", text="down")),
    )


def test_an_empty_answer_is_the_expected_one_and_must_stand_in_quotes(everything: Exercise) -> None:
    crew = crew_files.from_text('[{at: 72 s, line: ""}]', everything)
    assert crew.acts == (ScriptedAct(72.0, None, 0.0, Act("line", text="")),)
    with pytest.raises(FileProblems, match="has no value"):
        crew_files.from_text("[{at: 72 s, line: }]", everything)
    with pytest.raises(FileProblems, match="an empty text"):
        crew_files.from_text('[{at: 72 s, say: ""}]', everything)


def edited(edits: str) -> CrewFile:
    return crew_files.from_text(f"{{crew: 1, base: perfect, edits: [{edits}]}}", corpus.smallest())


def test_instances_of_a_recurring_item_are_edited_one_by_one() -> None:
    crew = edited("{delay: mode call, by: 5 s}, {omit: mode call 2}, {omit: mode call 3}")
    assert [edit.item for edit in crew.edits] == ["mode call", "mode call 2", "mode call 3"]


def test_a_recurring_item_by_its_own_name_is_its_first_instance_and_edited_once() -> None:
    with pytest.raises(FileProblems, match='a second edit of "mode call 1"'):
        edited("{delay: mode call, by: 5 s}, {omit: mode call 1}")


@pytest.mark.parametrize("pair", ["tune, mode call 2", "mode call, tune"])
def test_what_recurs_cannot_be_swapped(pair: str) -> None:
    with pytest.raises(FileProblems, match=r'"mode call( 2)?" recurs and has no place') as caught:
        edited(f"{{swap: [{pair}]}}")
    assert len(caught.value.problems) == 1


def test_a_number_after_an_item_that_happens_once_names_nothing() -> None:
    with pytest.raises(FileProblems, match='no item "tune 2"'):
        edited("{omit: tune 2}")


def test_json_and_plain_data_are_read_the_same(everything: Exercise) -> None:
    value = {
        "crew": 1,
        "base": "perfect",
        "edits": [{"omit": "gear down"}],
        "acts": [{"at": "3 s", "do": "gear down"}],
    }
    from_plain = crew_files.from_plain(value, everything)
    assert from_plain == crew_files.from_text(json.dumps(value), everything)
    assert from_plain.edits == (Edit("omit", "gear down"),)


def test_a_crew_file_is_read_from_disk(everything: Exercise, tmp_path: Path) -> None:
    path = tmp_path / "crew.yaml"
    path.write_text("[{at: 3 s, do: gear down}]", encoding="utf-8")
    assert len(crew_files.load(path, everything).acts) == 1


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("crew: 2", "newer version of this program reads"),
        ("{crew: 1, edits: [{omit: gear down}]}", "expected base: perfect"),
        ("{crew: 1, base: perfect, edits: [{omit: gear dwn}]}", 'did you mean "gear down"'),
        ("{crew: 1, base: perfect, edits: [{omit: gear down, by: 3 s}]}", "no meaning beside omit"),
        ("{crew: 1, base: perfect, edits: [{delay: gear down}]}", "needs by:"),
        (
            "{crew: 1, base: perfect, edits: [{advance: gear down, by: 1 s, to: {passed: TULEP}}]}",
            "exactly one",
        ),
        ("{crew: 1, base: perfect, edits: [{swap: [gear down, gear down]}]}", "two different"),
        ("[{at: 3 s, do: speed 180}]", "is a selector"),
        ("[{at: 3 s, do: gear}]", "needs a position"),
        ("[{at: 3 s, set: {gear: down}}]", "unknown key"),
        ("[{at: 3 s, set: {speed: 999 kt}}]", "out of bounds"),
        (f"[{{at: 3 s, set: {{speed: {'9' * 50}}}}}]", "expected a number with kt"),
        (f"[{{at: 3 s, set: {{speed: final approach speed plus {'9' * 60} kt}}}}]", "expected a"),
        ("[{do: gear down}]", "needs one of at or when"),
        ("[{at: 3 s, plus: 2 s, do: gear down}]", "no meaning beside at"),
        ("[{at: 3 s, do: gear down, say: gear down}]", "exclude each other"),
        ("[{at: 3 s, read back: nothing}]", "no event"),
        ("hello", "expected keys with values"),
    ],
)
def test_a_mistake_is_reported(text: str, message: str, everything: Exercise) -> None:
    with pytest.raises(FileProblems, match=message):
        crew_files.from_text(text, everything)


def test_a_crew_file_in_place_of_an_exercise_is_told_as_one(tmp_path: Path) -> None:
    path = tmp_path / "late-gear.yaml"
    path.write_text("crew: 1\nbase: perfect\n", encoding="utf-8")
    with pytest.raises(FileProblems, match=r"fly EXERCISE --crew late-gear\.yaml") as caught:
        compose.load(path, corpus.corpus_library())
    assert len(caught.value.problems) == 1


def test_a_moment_of_the_command_line_is_resolved_for_the_exercise(everything: Exercise) -> None:
    parse = crew_files.parse_moment_text
    assert parse("passed: final fix", everything) == Happened("passed", "KEVUX")
    assert parse("{config: {flaps: landing}, for: 2 s}", everything) == Held(
        Shows("config", "flaps", ("36",)), 2.0
    )
    for wrong in ("passed: TULIP", "soon", "", "event: none", "a: [", "distance: every 1 NM"):
        with pytest.raises(FileProblems):
            parse(wrong, everything)
