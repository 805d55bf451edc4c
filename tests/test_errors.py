"""The shape of a report: position first, all problems in one, a suggestion only if one is near."""

from __future__ import annotations

import pytest

from trainer.errors import (
    FileProblems,
    Problem,
    Problems,
    UserError,
    did_you_mean,
    hint,
    nearest,
    sentence_of,
)


def test_a_problem_reads_as_file_line_column_message() -> None:
    problem = Problem("a.yaml", 3, 7, "unknown key", "    3 | x\n      | ^")
    assert problem.headline() == "a.yaml:3:7: unknown key"
    assert str(problem) == "a.yaml:3:7: unknown key\n    3 | x\n      | ^"


def test_a_problem_without_a_place_shows_no_line_number() -> None:
    assert Problem("a.yaml", 0, 0, "is empty").headline() == "a.yaml: is empty"
    assert Problem("", 0, 0, "is empty").headline() == "is empty"


def test_all_problems_are_raised_at_once_in_reading_order() -> None:
    problems = Problems()
    problems.add(Problem("b.yaml", 9, 1, "late"))
    problems.add(Problem("a.yaml", 1, 1, "other file"))
    problems.add(Problem("b.yaml", 2, 5, "early"))
    problems.add(Problem("b.yaml", 2, 5, "early"))
    with pytest.raises(FileProblems) as caught:
        problems.raise_if_any()
    assert [p.message for p in caught.value.problems] == ["early", "late", "other file"]
    assert caught.value.exit_code == 2
    assert isinstance(caught.value, UserError)


def test_no_problems_raise_nothing() -> None:
    Problems().raise_if_any()


def test_a_flood_of_problems_is_cut_off() -> None:
    problems = Problems()
    for line in range(10_000):
        problems.add(Problem("a.yaml", line + 1, 1, "wrong"))
    assert len(problems) == Problems.LIMIT


@pytest.mark.parametrize(
    ("word", "expected"),
    [("gear donw", "gear down"), ("GEAR DOWN", "gear down"), ("flap", "flaps"), ("xyz", "")],
)
def test_the_nearest_name_is_found_or_none(word: str, expected: str) -> None:
    assert nearest(word, ["gear down", "gear up", "flaps"]) == expected


def test_a_suggestion_is_a_question() -> None:
    assert did_you_mean("glide alife", ["glide alive"]) == '; did you mean "glide alive"?'
    assert did_you_mean("", ["glide alive"]) == ""


def test_a_long_list_is_shown_only_when_nothing_is_near() -> None:
    names = [f"name {letter}" for letter in "abcdefgh"]
    assert hint("name a", names) == '; did you mean "name a"?'
    assert "name h" in hint("quite different", names)
    assert hint("x", []) == "; there is none here"


def test_names_become_a_phrase() -> None:
    assert sentence_of(["a"]) == "a"
    assert sentence_of(["a", "b", "c"]) == "a, b or c"
    assert sentence_of(["a", "b", "c"], most=2) == "a, b … (1 more)"
