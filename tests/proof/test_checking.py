"""What `check` says: the flights first, the timeline, the matrix; nothing that reads as a fault."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from tests.scenario import corpus
from trainer.errors import FileProblems
from trainer.proof.checking import check_command
from trainer.proof.mutants import Mutant
from trainer.proof.printing import crew_text, matrix_row, summary
from trainer.proof.prove import Flown, Plan, Proof, prove
from trainer.proof.trying import Result
from trainer.report.windows import drawing
from trainer.scenario.compose import load
from trainer.scenario.ends import check_ends
from trainer.scenario.exercise import Exercise
from trainer.scenario.library import default_library
from trainer.text import NOTICE

LIMIT = 3
WRITTEN = Path("scenarios/exercises/early-temptation.yaml")


@pytest.fixture(scope="module")
def proof() -> Proof:
    return prove(load("look-alike", default_library()), LIMIT, jobs=2)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch, proof: Proof) -> None:
    """`check` with the proof of this module in place of a new one; listeners hear all of it."""
    from trainer.proof import checking

    def told(exercise: Exercise, limit: int, jobs: int, listener: Any) -> Proof:
        listener.begun(proof.plan, proof.reference, [one.mutant for one in proof.results])
        for flown in (*proof.drawn, *proof.others):
            listener.flown(flown)
        for result in proof.results:
            listener.tried(result)
        return proof

    monkeypatch.setattr(checking, "prove", told)


@pytest.mark.usefixtures("quick")
def test_the_number_of_flights_is_said_first_and_apart_from_the_data(
    capsys: pytest.CaptureFixture[str], proof: Proof
) -> None:
    assert check_command(["look-alike"], is_json=False, jobs=1, limit=LIMIT) == 1
    printed = capsys.readouterr()
    assert printed.err.startswith(f"look-alike: {proof.plan.flights} flights: the reference, ")
    assert "judged without flying" in printed.err
    assert "\x1b" not in printed.out + printed.err, "no bar where there is no terminal"
    lines = printed.out.splitlines()
    assert lines[0].startswith("reference flight: 100.0 points, stopped on the runway")
    assert lines[1].split() == [
        "opens",
        "aim",
        "done",
        "due",
        "closes",
        "margin",
        "NM",
        "ft",
        "item",
    ]
    assert any(line.startswith("busiest 15 s: ") for line in lines)
    header = "item omitted late early wrong value wrong words"
    assert header in [" ".join(line.split()) for line in lines]
    assert "look-alike: NOT proven" in printed.out, "a part of the mutants proves nothing"


@pytest.mark.usefixtures("quick")
def test_mutations_without_a_meaning_are_said_to_be_that(
    capsys: pytest.CaptureFixture[str],
) -> None:
    check_command(["look-alike"], is_json=False, jobs=1, limit=LIMIT)
    printed = capsys.readouterr().out
    assert "mutations have no meaning here (for example a wrong value of a button)" in printed
    assert "listed with --json" in printed
    assert "do not apply" not in printed


@pytest.mark.usefixtures("quick")
def test_the_document_holds_timeline_workload_and_matrix(
    capsys: pytest.CaptureFixture[str], proof: Proof
) -> None:
    check_command(["look-alike"], is_json=True, jobs=1, limit=LIMIT)
    (found,) = json.loads(capsys.readouterr().out)["results"]
    assert found["flights"] == proof.plan.flights
    assert len(found["matrix"]) == LIMIT
    by_item = {entry["item"]: entry for entry in found["timeline"]}
    gear = by_item["gear down"]
    assert gear["opened_s"] <= gear["aim_s"] <= gear["done_s"]
    assert by_item["tune"]["margin_s"] == pytest.approx(
        by_item["tune"]["due_s"] - by_item["tune"]["done_s"]
    )
    assert 0.0 < found["workload"]["busy_s"] <= 15.0


def test_no_more_is_flown_than_was_said(proof: Proof) -> None:
    plan = proof.plan
    assert plan.flights == 1 + plan.shared + len(proof.drawn) + len(proof.others) + plan.flown
    assert plan.flown + plan.spoken == len(proof.results) == LIMIT
    assert plan.untried > 100
    assert not proof.is_proven


def test_other_correct_crews_are_part_of_the_proof_and_nothing_is_found_in_them(
    proof: Proof,
) -> None:
    names = [one.label for one in proof.others]
    assert len(names) == len(set(names)) >= 7
    assert [one for one in proof.others if not one.is_right] == []
    wrong = Flown("late stable", 97.0, (("landing flap", "late"),), ())
    assert crew_text(wrong) == "late stable: found landing flap: late"


def test_every_shipped_window_opens_before_its_item_is_due(proof: Proof) -> None:
    assert [one.squeezed for one in (proof.reference.flown, *proof.drawn)] == [()] * (
        1 + len(proof.drawn)
    )
    tight = Flown("seed 2", 100.0, (), ("gear down",))
    assert not tight.is_right
    assert crew_text(tight) == 'seed 2: "gear down" is due before it opens'


def test_a_mutant_that_is_not_found_is_told_with_what_was(proof: Proof) -> None:
    mutant = Mutant("late: tune", (), "tune", "late")
    good = Result(Mutant("omitted: tune", (), "tune", "missed"), (("tune", "missed"),), True)
    row = matrix_row("tune", [good, Result(mutant, (("course", "late"),), True)], 6)
    assert row.splitlines()[0].split() == ["tune", "+", "X", ".", ".", "."]
    assert row.splitlines()[1].strip() == "late: tune: found course: late"
    nothing = Result(Mutant("trap: t", (), "tune", "early"), (), True)
    assert "X trap: t" in matrix_row("tune", [nothing], 6)
    assert "trap: t: found nothing" in matrix_row("tune", [nothing], 6)


def test_a_proof_says_which_correct_crew_was_found_wrong(proof: Proof) -> None:
    wrong = Flown("hand-flown", 95.0, (("final speed", "late"),), ())
    spoilt = replace(proof, others=(wrong,), plan=Plan(7, 1, 2, 1, 1, 0))
    text = "\n".join(summary("look-alike", spoilt))
    assert "NOT proven" in text
    assert "0 of 1 other correct crews right" in text
    assert "hand-flown: found final speed: late" in text


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("{value: start.distance, from: 0.4 NM, to: 4.0 NM}", "with start.distance at 0.4 NM: the "
         "start is 0.4 NM before TULEP, but the turn there at"),
        ("{value: start.altitude, from: 10 ft, to: 3000 ft}", "with start.altitude at 10 ft: "
         "10 ft is not above the runway"),
        ("{value: start.speed, from: 180 kt, to: 210 kt}", "with start.speed at 180 kt: "
         "180 kt is below the manoeuvring speed of flap 0"),
    ],
)  # fmt: skip
def test_what_can_be_flown_as_written_must_be_flyable_at_the_ends_of_the_variation(
    tmp_path: Path, entry: str, said: str
) -> None:
    text = WRITTEN.read_text(encoding="utf-8")
    path = tmp_path / "ends.yaml"
    path.write_text(text.replace("vary:\n", f"vary:\n  - {entry}\n"), encoding="utf-8")
    exercise = load(path, default_library())
    with pytest.raises(FileProblems) as caught:
        check_ends(exercise, path)
    headline = caught.value.problems[0]
    assert headline.message.startswith(said)
    assert "vary:" in text.split("\n")[headline.line - 2] or headline.line > 1


def test_the_drawing_holds_every_window_and_the_notice_and_is_well_formed(proof: Proof) -> None:
    session = proof.reference.session
    text = drawing(session.exercise, session.flight.rows, proof.reference.timeline)
    root = ElementTree.fromstring(text)
    said = "".join(root.itertext())
    assert NOTICE in said
    for entry in proof.reference.timeline:
        assert f"{entry.item} {entry.opened / 10:.0f}" in said
    approach = session.exercise.approach
    for leg in (*approach.legs, *approach.missed_legs):
        assert leg.fix.name in said
    numbers = re.findall(r'(?:x1|x2|cx|y1|y2|cy)="([^"]+)"', text)
    assert all(0.0 <= float(number) <= 2000.0 for number in numbers)


def test_text_of_a_scenario_stands_in_the_drawing_as_it_is(proof: Proof) -> None:
    session = proof.reference.session
    nasty = replace(session.exercise, title='</title><script>alert(1)</script> & "x"')
    text = drawing(nasty, session.flight.rows, proof.reference.timeline)
    assert "<script" not in text
    assert nasty.title in "".join(ElementTree.fromstring(text).itertext())


def test_a_name_that_does_not_exist_does_not_hide_the_others(
    capsys: pytest.CaptureFixture[str], quick: None
) -> None:
    assert check_command(["look-alikes", "look-alike"], is_json=True, jobs=1, limit=LIMIT) == 2
    first, second = json.loads(capsys.readouterr().out)["results"]
    assert 'did you mean "look-alike"?' in first["problems"][0]["message"]
    assert second["valid"]


@pytest.mark.usefixtures("quick")
def test_the_matrix_of_the_build_fails_on_anything_that_is_not_right(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    check_command(["look-alike"], is_json=True, jobs=1, limit=LIMIT)
    good = json.loads(capsys.readouterr().out)
    crew = {"drawn": "hand-flown", "found": [["tune", "late"]], "due_before_open": []}
    slip = {"mutant": "late: tune", "found": []}
    assert matrix(good, tmp_path) == 0
    for key, value in (("imperfect", [crew]), ("misjudged", [slip]), ("valid", False)):
        bad = json.loads(json.dumps(good))
        bad["results"][0] |= {key: value, "problems": [{"message": "m"}]}
        assert matrix(bad, tmp_path) == 1, key
    assert matrix({**good, "recall": 0.99}, tmp_path) == 1


def matrix(document: dict[str, Any], folder: Path) -> int:
    """The exit code of the printed matrix of a document."""
    (folder / "proof.json").write_text(json.dumps(document), encoding="utf-8")
    command = [sys.executable, ".ci/matrix.py", str(folder / "proof.json")]
    done = subprocess.run(command, capture_output=True, text=True)
    assert "Traceback" not in done.stderr
    assert f"{LIMIT} of {LIMIT} tried are exact" in done.stdout or "not valid" in done.stdout
    return done.returncode


def test_an_interrupted_check_says_how_far_it_came(
    monkeypatch: pytest.MonkeyPatch, proof: Proof, capsys: pytest.CaptureFixture[str]
) -> None:
    from trainer.proof import checking

    def stopped(exercise: Exercise, limit: int, jobs: int, listener: Any) -> Proof:
        listener.begun(proof.plan, proof.reference, [one.mutant for one in proof.results])
        listener.flown(proof.drawn[0])
        raise KeyboardInterrupt

    monkeypatch.setattr(checking, "prove", stopped)
    with pytest.raises(KeyboardInterrupt):
        check_command(["look-alike"], is_json=False, jobs=1, limit=LIMIT)
    said = f"look-alike: interrupted after 1 of {proof.plan.pieces} pieces of work; nothing is"
    assert said in capsys.readouterr().err


def test_a_folder_is_refused_with_the_names_of_its_exercises(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "drills").mkdir()
    text = (corpus.ROOT / "good" / "smallest.yaml").read_text(encoding="utf-8")
    (tmp_path / "drills" / "first.yaml").write_text(text, encoding="utf-8")
    assert check_command(["drills"], is_json=False, jobs=1, limit=1) == 2
    captured = capsys.readouterr()
    assert "drills/first.yaml" in captured.out + captured.err
