"""Which places of the variation are tried on paper, and what is told of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.scenario import corpus
from trainer.errors import FileProblems
from trainer.scenario import compose, ends
from trainer.scenario.draw import Corner, varied_values
from trainer.scenario.exercise import Exercise, Vary

SMALLEST = (corpus.ROOT / "good" / "smallest.yaml").read_text(encoding="utf-8")


def places(*varied: Vary) -> list[Corner]:
    exercise = replace(corpus.smallest(), variations=varied)
    return list(ends._places(exercise, varied_values(exercise)))


def speeds(count: int) -> list[Vary]:
    return [Vary(f"weather.wind.{number}.speed", "5 kt", "25 kt") for number in range(count)]


def test_every_combination_of_ends_is_tried_and_of_many_values_every_pair() -> None:
    assert len(places(*speeds(1))) == 2
    assert len(places(*speeds(6))) == 6 * 2 + 2**6
    assert len(places(*speeds(8))) == 8 * 2 + 4 * 28


def test_a_direction_is_tried_inside_its_range_alone_and_with_the_ends_of_the_others() -> None:
    wind = Vary("weather.wind.1.from", "240 deg", "300 deg")
    labels = [place.label for place in places(wind)]
    assert labels == [f"weather.wind.1.from at {at} deg" for at in (240, 300, 255, 270, 285)]
    both = places(wind, *speeds(1))
    assert len(both) == 4 + 3 + 4 + 2 * 3
    assert both[-1].label == "weather.wind.1.from at 285 deg and weather.wind.0.speed at 25 kt"


def written(folder: Path, *lines: str) -> tuple[Exercise, Path]:
    path = folder / "ends.yaml"
    path.write_text(SMALLEST + "vary:\n" + "".join(f"  - {line}\n" for line in lines))
    return compose.load(path, corpus.corpus_library()), path


def test_what_an_end_alone_makes_impossible_is_not_told_again_for_combinations(
    tmp_path: Path,
) -> None:
    exercise, path = written(
        tmp_path,
        "{value: start.altitude, from: 10 ft, to: 3000 ft}",
        "{value: start.speed, from: 205 kt, to: 210 kt}",
    )
    with pytest.raises(FileProblems) as caught:
        ends.check_ends(exercise, path)
    told = [one.message for one in caught.value.problems if "not above the runway" in one.message]
    assert len(told) == 1
    assert told[0].startswith("with start.altitude at 10 ft: 10 ft is not above")


def test_nothing_is_told_where_every_draw_can_be_flown(tmp_path: Path) -> None:
    ends.check_ends(*written(tmp_path, "{value: start.speed, from: 205 kt, to: 210 kt}"))
