"""A finding becomes an override in the user's own house, holds in the next flight, and goes."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer import paths
from trainer.crew.fly import fly_crew
from trainer.errors import UserError
from trainer.judge.judgement import Judgement
from trainer.report.our_procedure import Differing, finding_called, how_it_differs, take_back, write
from trainer.report.overrides import override
from trainer.scenario.compose import load
from trainer.scenario.crew_files import CrewFile
from trainer.scenario.draw import draw
from trainer.scenario.exercise import Edit, Exercise
from trainer.scenario.library import default_library


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A scenario folder of one's own, still empty."""
    monkeypatch.setattr(paths, "user_scenarios", lambda: tmp_path / "scenarios")
    return tmp_path / "scenarios"


def exercise() -> Exercise:
    return draw(load("straight-in", default_library()), 0)


def flown(*edits: Edit) -> Judgement:
    return fly_crew(exercise(), CrewFile("perfect", edits, ()))[1]


def differing(judgement: Judgement, item: str) -> Differing:
    return how_it_differs(exercise(), finding_called(judgement, item))


@pytest.mark.parametrize(
    ("edit", "line"),
    [
        (Edit("omit", "glide alive"), '{remove: "glide alive", flow: jet-ils}'),
        (
            Edit("advance", "approach mode", 30.0),
            '{change: "approach mode", flow: jet-ils, early: fine}',
        ),
        (Edit("delay", "identified", 2.0), '{change: "identified", flow: jet-ils, due: 15 s}'),
    ],
)
def test_what_was_a_finding_is_none_in_the_next_flight(own: Path, edit: Edit, line: str) -> None:
    before = flown(edit)
    assert edit.item in {name for name, _ in before.primary()}
    found = differing(before, edit.item)
    assert line in found.line
    write(exercise(), found)
    assert found.is_written
    assert found.path == own / "houses" / "standard.yaml"
    items = {item.name: item for item in exercise().flow.items}
    match edit.kind:
        case "omit":
            assert edit.item not in items
        case "delay":  # the crew is late by its own due, which has moved: the window tells
            assert items[edit.item].due == 15.0
        case _:
            assert edit.item not in {name for name, _ in flown(edit).primary()}


def test_taken_back_the_copy_that_differs_in_nothing_goes(own: Path) -> None:
    found = differing(flown(Edit("omit", "glide alive")), "glide alive")
    write(exercise(), found)
    take_back(exercise(), found)
    assert not found.path.exists()
    assert "glide alive" in {item.name for item in exercise().flow.items}
    with pytest.raises(UserError, match="no such override; nothing was changed"):
        take_back(exercise(), found)


def test_a_house_of_ones_own_keeps_what_was_written_by_hand(own: Path) -> None:
    built_in = paths.built_in_scenarios() / "houses" / "standard.yaml"
    file = own / "houses" / "standard.yaml"
    file.parent.mkdir(parents=True)
    mine = "# mine, by hand\n" + built_in.read_text(encoding="utf-8")
    file.write_text(mine, encoding="utf-8")
    found = differing(flown(Edit("omit", "glide alive")), "glide alive")
    write(exercise(), found)
    assert file.read_text(encoding="utf-8").startswith(mine)
    take_back(exercise(), found)
    assert file.read_text(encoding="utf-8") == mine


def test_written_twice_it_stands_once(own: Path) -> None:
    found = differing(flown(Edit("omit", "glide alive")), "glide alive")
    write(exercise(), found)
    write(exercise(), found)
    assert found.path.read_text(encoding="utf-8").count(found.line) == 1


def test_a_change_that_the_procedure_does_not_bear_is_not_written(own: Path) -> None:
    found = differing(flown(Edit("omit", "glide alive")), "glide alive")
    broken = Differing(found.meaning, found.line.replace("glide alive", "glide alife"), found.path)
    with pytest.raises(UserError, match='nothing was written: the flow has no item "glide alife"'):
        write(exercise(), broken)
    assert not found.path.exists()


def test_changes_on_one_line_are_left_to_their_author(own: Path) -> None:
    built_in = paths.built_in_scenarios() / "houses" / "standard.yaml"
    file = own / "houses" / "standard.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(built_in.read_text(encoding="utf-8") + "changes: []\n", encoding="utf-8")
    found = differing(flown(Edit("omit", "glide alive")), "glide alive")
    with pytest.raises(UserError, match="add by hand"):
        write(exercise(), found)


def test_gear_that_was_written_away_before_can_be_taken_back(own: Path) -> None:
    before, verdict = exercise(), finding_called(flown(Edit("omit", "gear down")), "gear down")
    line, _ = override(before, verdict)
    write(before, Differing("", line, own / "houses" / "standard.yaml"))
    found = how_it_differs(before, verdict)
    assert found.is_written
    take_back(before, found)
    assert not found.path.exists()


def test_neither_physics_nor_false_words_can_differ(own: Path) -> None:
    late = flown(Edit("delay", "first flap", 90.0))
    with pytest.raises(UserError, match="due at a moment of the flight"):
        differing(late, "first flap")
    with pytest.raises(UserError, match="only a flow of your own leaves it out"):
        differing(flown(Edit("omit", "gear down")), "gear down")
    with pytest.raises(UserError, match='"tune" was on time; nothing differs'):
        differing(late, "tune")
