"""With ice about, a type with an icing table is flown, briefed and judged by its speeds."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer.briefing.paper import sheet_text
from trainer.briefing.sheet import sheet
from trainer.flight.acts import Act
from trainer.flight.flight import Flight
from trainer.proof.prove import fly_perfect
from trainer.scenario import compose, library
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Exercise

FACTOR = 1.02


def composed(tmp_path: Path, icing: str) -> Exercise:
    """Straight in with a twin jet that has an icing table, faster by two per cent."""
    found = library.default_library()
    entry = found.find("aircraft", "twin-jet")
    assert entry is not None
    kind = entry.path.read_text(encoding="utf-8")
    kind = kind.replace(
        "maximum speed: 332 kt", f"maximum speed: 332 kt\nicing speed factor: {FACTOR}"
    )
    text = found.exercise_path("straight-in").read_text(encoding="utf-8")
    text = text.replace("aircraft: twin-jet", "aircraft: cold-jet")
    text = text.replace("weather:\n", f"weather:\n  icing: {icing}\n")
    for folder, name, what in (("aircraft", "cold-jet", kind), ("exercises", "cold", text)):
        (tmp_path / folder).mkdir(exist_ok=True)
        (tmp_path / folder / f"{name}.yaml").write_text(what, encoding="utf-8")
    return compose.load(tmp_path / "exercises" / "cold.yaml", found)


def test_reference_final_speed_and_ladders_are_those_of_the_icing_table(tmp_path: Path) -> None:
    clear, iced = composed(tmp_path, "no"), composed(tmp_path, "yes")
    assert iced.reference_kt == pytest.approx(FACTOR * clear.reference_kt)
    assert iced.final_kt - iced.reference_kt == pytest.approx(clear.final_kt - clear.reference_kt)
    assert "icing speeds of the type" in sheet_text(sheet(iced))
    assert "icing" not in sheet_text(sheet(clear))
    last = [sheet(one).ladders[1] for one in (clear, iced)]
    assert last[0] != last[1]
    assert compose.from_canonical(iced.canonical).reference_kt == iced.reference_kt


def test_guidance_protects_the_icing_manoeuvring_speed(tmp_path: Path) -> None:
    flown: list[float] = []
    for icing in ("no", "yes"):
        drill = composed(tmp_path, icing)
        flight = Flight(drill, book_of(drill))
        flight.step([Act(0, 0, "pilot", "set", "speed", "170")])
        flight.step()
        flown.append(flight.row.protected_kt)
    assert flown[1] == pytest.approx(FACTOR * flown[0])


def test_a_perfect_crew_flies_it_by_the_icing_speeds(tmp_path: Path) -> None:
    drill = composed(tmp_path, "yes")
    session, judgement = fly_perfect(drill, book_of(drill))
    assert (judgement.points, judgement.outcome) == (100.0, "passed")
    landed = next(row for row in session.flight.rows if row.is_on_ground)
    assert landed.cas_kt > drill.reference_kt - 15.0
