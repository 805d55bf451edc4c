"""Options that an exercise fits, and receivers that a type locks."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer.crew.fly import fly_crew
from trainer.errors import FileProblems
from trainer.scenario import compose, library
from trainer.scenario.crew_files import from_text
from trainer.scenario.exercise import Exercise


def composed(
    tmp_path: Path, extra: str = "", autothrust: str = "optional: true, ", option: str = ""
) -> Exercise:
    """Straight in with a twin jet of which two things are changed."""
    found = library.default_library()
    entry = found.find("aircraft", "twin-jet")
    assert entry is not None
    kind = entry.path.read_text(encoding="utf-8")
    kind = kind.replace("autothrust: {", "autothrust: {" + autothrust)
    kind = kind.replace("  signal hold: 8 s\n", "  signal hold: 8 s\n" + option)
    for folder in ("aircraft", "exercises"):
        (tmp_path / folder).mkdir(exist_ok=True)
    (tmp_path / "aircraft" / "other-jet.yaml").write_text(kind, encoding="utf-8")
    text = found.exercise_path("straight-in").read_text(encoding="utf-8")
    text = text.replace("aircraft: twin-jet", "aircraft: other-jet" + extra)
    path = tmp_path / "exercises" / "fitted.yaml"
    path.write_text(text, encoding="utf-8")
    return compose.load(path, found)


def test_an_exercise_fits_the_optional_autothrust(tmp_path: Path) -> None:
    bare = composed(tmp_path)
    fitted = composed(tmp_path, "\nfitted: [autothrust]")
    assert bare.aircraft.autothrust is None
    assert fitted.aircraft.autothrust == bare.aircraft.autothrust_option
    assert compose.from_canonical(fitted.canonical).aircraft.autothrust is not None


def test_an_option_that_a_type_does_not_offer_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileProblems) as error:
        composed(tmp_path, "\nfitted: [autothrust]", autothrust="")
    assert "Twin jet: autothrust is no option" in str(error.value)


def test_an_autopilot_is_fitted_only_where_the_type_offers_one(tmp_path: Path) -> None:
    with pytest.raises(FileProblems) as error:
        composed(tmp_path, "\nfitted: [autothrust, autopilot]")
    assert "Twin jet: autopilot is no option" in str(error.value)
    assert "autothrust is no option" not in str(error.value)


@pytest.mark.parametrize("is_locked", [True, False])
def test_a_frequency_turned_on_a_captured_localizer_is_refused_where_the_type_locks_it(
    tmp_path: Path, is_locked: bool
) -> None:
    drill = composed(
        tmp_path, autothrust="", option="  retune inhibit: true\n" if is_locked else ""
    )
    crew = from_text(
        "{crew: 1, base: perfect, acts: ["
        "{when: {mode: {lateral: LOC}}, plus: 5 s, set: {frequency: 113.40 MHz}}]}",
        drill,
    )
    session, _ = fly_crew(drill, crew)
    refused = [
        fact.reason
        for fact in session.flight.facts
        if fact.kind == "refused" and fact.name == "frequency"
    ]
    assert refused == (["receivers are locked on a captured localizer"] if is_locked else [])
    lost = [fact.reason for fact in session.flight.facts if "localizer lost" in fact.reason]
    assert bool(lost) is not is_locked
