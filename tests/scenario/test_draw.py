"""What a seed changes: independent draws, seed 0 as written, corners at the ends."""

from __future__ import annotations

import hashlib
import itertools

import pytest

from tests.scenario import corpus
from trainer.scenario import compose, draw
from trainer.scenario.exercise import Choose, Exercise, Vary
from trainer.scenario.library import default_library

EVERYTHING = corpus.ROOT / "good" / "everything.yaml"


@pytest.fixture(scope="module")
def everything() -> Exercise:
    return compose.load(EVERYTHING, corpus.corpus_library())


def test_seed_0_is_the_exercise_as_written_with_the_first_choice(everything: Exercise) -> None:
    drawn = draw.draw(everything, 0)
    assert drawn.weather == everything.weather
    assert drawn.start == everything.start
    names = [event.name for event in drawn.events]
    assert "gs-flag" not in names
    assert "loc-flag" not in names


def test_the_same_seed_draws_the_same_and_keeps_the_digest(everything: Exercise) -> None:
    for seed in range(1, 6):
        drawn = draw.draw(everything, seed)
        assert drawn == draw.draw(everything, seed)
        assert drawn.seed == seed
        assert drawn.digest == everything.digest
        assert drawn.canonical == everything.canonical
        assert draw.draw(drawn, seed) == drawn
        again = draw.draw(compose.from_canonical(drawn.canonical), seed)
        assert again == drawn


def test_drawn_right_after_it_was_composed_an_exercise_is_the_same_as_from_its_stored_form() -> (
    None
):
    """What was read to compose it is used again to draw it, as long as nothing else is composed."""
    library = default_library()
    names = library.names("exercise")
    for name, other in zip(names, [*names[1:], names[0]], strict=True):
        written = compose.load(name, library)
        drawn = draw.draw(written, 3)
        compose.load(other, library)
        assert draw.draw(written, 3) == drawn
        assert drawn.digest == written.digest


def test_a_draw_is_the_published_hash_mapped_to_the_range(everything: Exercise) -> None:
    path = "start.mass"
    digest = hashlib.sha256(f"7:{path}".encode()).digest()
    share = int.from_bytes(digest, "big") / 2**256
    assert draw.share(7, path) == pytest.approx(share, abs=1e-15)
    expected_t = round(54.5 + share * (63.0 - 54.5), 1)
    assert draw.draw(everything, 7).start.mass_t == pytest.approx(expected_t)


def test_a_share_is_never_one_and_fills_the_range() -> None:
    shares = [draw.share(seed, "weather.qnh") for seed in range(2000)]
    assert all(0.0 <= share < 1.0 for share in shares)
    assert min(shares) < 0.01
    assert max(shares) > 0.99
    assert sorted(shares)[1000] == pytest.approx(0.5, abs=0.05)


def test_one_more_varied_value_shifts_no_other(everything: Exercise) -> None:
    document = compose.document_of(everything)
    document["exercise"]["vary"].insert(
        0, {"value": "weather.visibility", "from": "2 km", "to": "5 km"}
    )
    more = compose.from_document(document)
    for seed in (1, 2, 3):
        assert draw.draw(more, seed).start.mass_t == draw.draw(everything, seed).start.mass_t


def test_drawn_values_stay_in_their_range_and_resolution(everything: Exercise) -> None:
    for seed in range(1, 40):
        mass_t = draw.draw(everything, seed).start.mass_t
        assert 54.5 <= mass_t <= 63.0
        assert round(mass_t, 1) == mass_t


def test_every_choice_is_drawn_sooner_or_later_and_never_two(everything: Exercise) -> None:
    seen = set()
    for seed in range(1, 40):
        names = {event.name for event in draw.draw(everything, seed).events}
        chosen = names & {"gs-flag", "loc-flag"}
        assert len(chosen) <= 1
        seen |= chosen or {"nothing"}
    assert seen == {"nothing", "gs-flag", "loc-flag"}


def test_a_choice_is_the_published_place_in_its_list(everything: Exercise) -> None:
    options = ("nothing", "gs-flag", "loc-flag")  # the third of what it varies
    for seed in range(1, 30):
        digest = hashlib.sha256(f"{seed}:choose.3".encode()).digest()
        place = int.from_bytes(digest, "big") * len(options) // 2**256
        names = {event.name for event in draw.draw(everything, seed).events}
        assert names & set(options[1:]) == {options[place]} - {"nothing"}, seed


def test_a_dropped_event_may_still_be_named(everything: Exercise) -> None:
    document = compose.document_of(everything)
    document["exercise"]["events"].append(
        {"event": "after", "when": {"event": "gs-flag"}, "grants": "go around"}
    )
    exercise = draw.draw(compose.from_document(document), 0)
    assert "after" in [event.name for event in exercise.events]


def test_the_corners_are_each_end_alone_each_choice_all_low_and_all_high(
    everything: Exercise,
) -> None:
    corners = dict(draw.corners(everything))
    assert list(corners) == [
        "weather.wind.2.speed at 5 m/s", "weather.wind.2.speed at 15 m/s", "start.mass at 54.5 t",
        "start.mass at 63 t", "with gs-flag", "with loc-flag", "all values low", "all values high",
    ]  # fmt: skip
    assert corners["start.mass at 63 t"].start.mass_t == 63.0
    assert corners["start.mass at 63 t"].weather == everything.weather
    assert corners["all values low"].start.mass_t == 54.5
    assert corners["all values low"].weather.wind[1].speed_kt == pytest.approx(
        5 / 0.514444, abs=0.01
    )
    assert "gs-flag" in [event.name for event in corners["with gs-flag"].events]
    assert "gs-flag" not in [event.name for event in corners["all values low"].events]


def test_an_exercise_without_variation_has_no_corners() -> None:
    assert draw.corners(corpus.smallest()) == []


def test_a_seed_is_told_with_what_it_draws(everything: Exercise) -> None:
    drawn = draw.draw(everything, 3)
    label = draw.seed_label(everything, 3)
    assert label.startswith("seed 3 (weather.wind.2.speed at ")
    assert f"start.mass at {drawn.start.mass_t:g} t" in label
    assert draw.seed_label(corpus.smallest(), 3) == "seed 3"


def test_a_rounded_value_never_leaves_its_range() -> None:
    narrow = Vary("start.altitude", "3004 ft", "3006 ft")
    for at in (0.0, 0.5, 0.999):
        value = float(draw.drawn_value(narrow, at).split()[0])
        assert 3004 <= value <= 3006


def test_the_variations_are_kept_as_written(everything: Exercise) -> None:
    kinds = [type(one) for one in everything.variations]
    assert kinds == [Vary, Vary, Choose]
    assert all(
        first != second for first, second in itertools.pairwise(map(str, everything.variations))
    )
