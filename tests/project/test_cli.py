"""The command line as a contract: exit codes, where the talk goes, and the keys of each JSON."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import time
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from tests.project.command import COMMAND, document, run, start
from tests.project.sources import ROOT
from trainer.app import launch
from trainer.cli import main, reading
from trainer.proof.forks import CAN_FORK

NOTICE = (
    "For training on fictional types; not for navigation or real flight; "
    "operator manuals, current charts and licensed instructors come first"
)
COMMANDS = (
    "fly", "brief", "list", "check", "debrief", "history",
    "regrade", "schema", "replay", "new", "resume",
)  # fmt: skip

# A crew that forgets landing flap and then lands all the same.
CARELESS = (
    'crew: 1\nbase: perfect\nedits: [{omit: landing flap}, {omit: "go around, not stable"}]\n'
)


@pytest.fixture
def careless(tmp_path: Path) -> str:
    path = tmp_path / "careless.yaml"
    path.write_text(CARELESS, encoding="utf-8")
    return str(path)


class Kept(NamedTuple):
    """A careless attempt that was flown once: the data folder it was kept in, and its judgement."""

    data: Path
    judgement: dict[str, Any]


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Kept:
    folder = tmp_path_factory.mktemp("kept")
    (folder / "careless.yaml").write_text(CARELESS, encoding="utf-8")
    done = start(
        "fly", "straight-in", "--crew", "careless.yaml", "--json", "--record",
        folder=folder, environment={**os.environ, "XDG_DATA_HOME": str(folder / "data")},
    )  # fmt: skip
    assert done.returncode == 1, done.stderr
    return Kept(folder / "data", json.loads(done.stdout))


@pytest.fixture
def kept(once: Kept, empty_home: Path) -> dict[str, Any]:
    """The judgement of an attempt that lies in the home of this test."""
    assert document("history", "--json")["attempts"] == []
    shutil.copytree(once.data, empty_home / "data", dirs_exist_ok=True)
    return once.judgement


def keys(document: dict[str, Any]) -> set[str]:
    return set(document)


# Exit codes -------------------------------------------------------------------------------------


@pytest.mark.parametrize("arguments", [("--help",), ("--version",), ("list",), ("list", "--keys"),
                                       ("history",), ("brief", "straight-in")])  # fmt: skip
def test_what_went_well_ends_with_zero(arguments: tuple[str, ...]) -> None:
    done = start(*arguments)
    assert done.returncode == 0, done.stderr


def test_a_judged_repeat_ends_with_one(careless: str) -> None:
    done = start("fly", "straight-in", "--crew", careless)
    assert done.returncode == 1
    assert "the stable gate was not met and the approach was continued" in done.stdout


def test_an_abandoned_flight_ends_with_one(tmp_path: Path) -> None:
    crew = tmp_path / "belly.yaml"
    omitted = '{omit: gear down}, {omit: "go around, not stable"}'
    crew.write_text(f"crew: 1\nbase: perfect\nedits: [{omitted}]\n", encoding="utf-8")
    found = document("fly", "straight-in", "--crew", str(crew), "--json", code=1)
    assert found["outcome"] == "repeat"
    assert found["reason"] == "abandoned: touched down without the gear down"


def test_what_is_our_own_mistake_ends_with_three(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(options: object) -> int:
        raise ValueError("seven is no stage")

    monkeypatch.setattr(reading, "_list", fail)
    monkeypatch.delenv("APPROACH_DRILL_TRACEBACK", raising=False)
    assert main.run(["list"]) == 3
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("internal error: ValueError: seven is no stage\n")
    monkeypatch.setenv("APPROACH_DRILL_TRACEBACK", "1")
    with pytest.raises(ValueError, match="seven"):
        main.run(["list"])


def test_an_interrupt_of_any_command_ends_with_130_and_says_nothing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(options: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(reading, "_list", interrupted)
    assert main.run(["list"]) == 130
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", "")


@pytest.mark.parametrize(
    "arguments",
    [("fly",), ("nonsense",), ("fly", "straight-in", "--level", "easy"), ("list", "--colour"),
     ("fly", "straight-in", "--json"), ("debrief", "7"), ("regrade", "last"),
     ("resume",), ("resume", "last"),
     ("fly", "straight-in", "--crew", "no-such-file.yaml"), ("check", "no-such-file.yaml")],
    ids=" ".join,
)  # fmt: skip
def test_a_mistake_ends_with_two_and_a_sentence_without_a_traceback(
    arguments: tuple[str, ...],
) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr
    assert "Error:" not in done.stderr


def test_a_crew_that_is_not_there_gets_what_may_stand_there() -> None:
    done = run("fly", "straight-in", "--crew", "perfekt")
    assert done.stderr == 'there is no file "perfekt"; expected a crew file or perfect\n'


def test_the_debrief_of_a_file_outside_the_library_names_the_file(tmp_path: Path) -> None:
    text = (ROOT / "scenarios" / "exercises" / "straight-in.yaml").read_text(encoding="utf-8")
    (tmp_path / "own.yaml").write_text(text, encoding="utf-8")
    done = run("fly", "own.yaml", "--crew", "perfect", folder=tmp_path)
    assert "(approach-drill fly own.yaml --level" in " ".join(done.stdout.split())


@pytest.mark.parametrize("command", ["fly", "brief"])
def test_an_unknown_exercise_gets_the_nearest_name(command: str) -> None:
    crew = ("--crew", "perfect") if command == "fly" else ()
    done = run(command, "straigt-in", *crew)
    assert done.returncode == 2
    assert 'did you mean "straight-in"?' in done.stderr


def test_a_bad_file_gets_every_problem_with_its_place(tmp_path: Path) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text("format: 1\ntitel: Bad\nairport: qxma\naircraft: twin-jet\n", encoding="utf-8")
    done = run("check", str(path))
    assert done.returncode == 2
    assert f"{path}:2:1: " in done.stderr
    assert 'did you mean "title"?' in done.stderr
    found = document("check", str(path), "--json", code=2)["results"][0]
    assert not found["valid"]
    assert (found["problems"][0]["line"], found["problems"][0]["column"]) == (1, 1) or any(
        one["line"] == 2 and one["column"] == 1 for one in found["problems"]
    )


@pytest.mark.skipif(not CAN_FORK, reason="a check without forks has no processes to leave behind")
def test_an_interrupt_at_the_terminal_ends_a_check_with_130_and_leaves_no_process() -> None:
    with subprocess.Popen(
        [*COMMAND, "check", "straight-in", "--jobs", "2"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    ) as process:  # fmt: skip
        # A shell that runs the tests in the background has its children ignore the signal.
        assert process.stderr is not None
        assert "flights" in process.stderr.readline()  # the reference is flown, the forks begin
        time.sleep(0.3)
        os.killpg(process.pid, signal.SIGINT)
        _, errors = process.communicate()
    assert process.returncode == 130
    assert "straight-in: interrupted after" in errors
    assert "Traceback" not in errors
    with pytest.raises(ProcessLookupError):
        os.killpg(process.pid, 0)


# Defaults -----------------------------------------------------------------------------------------


@pytest.mark.usefixtures("empty_home")
def test_a_scripted_crew_flies_as_written_and_is_not_kept_unless_asked() -> None:
    assert document("fly", "straight-in", "--crew", "perfect", "--json")["seed"] == 0
    assert document("history", "--json")["attempts"] == []


def test_a_pilot_flies_coached_and_alone_unless_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[object] = []

    def run_app(start: object, *, is_ascii: bool) -> int:
        started.append(start)
        return 0

    monkeypatch.setattr(launch, "run_app", run_app)
    assert main.run(["fly", "straight-in"]) == 0
    assert main.run(["fly", "straight-in", "--level", "check", "--seed", "4"]) == 0
    assert main.run([]) == 0
    assert started == [
        launch.Start("straight-in", "coached", None), launch.Start("straight-in", "check", 4), None,
    ]  # fmt: skip
    assert main.parser().parse_args(["fly", "straight-in"]).seat == "solo"


# Outside conditions -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "arguments", [("list", "--keys"), ("fly", "straight-in", "--crew", "perfect", "--json")]
)
def test_a_reader_that_has_gone_is_no_error(arguments: tuple[str, ...]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run([*COMMAND, *arguments], stdout=writing, stderr=subprocess.PIPE, text=True)
    os.close(writing)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""


@pytest.mark.parametrize(
    "arguments", [("list",), ("history",), ("fly", "straight-in", "--crew", "perfect", "--record")]
)
def test_a_home_that_cannot_be_used_stops_nothing(arguments: tuple[str, ...]) -> None:
    environment = {"PATH": os.environ["PATH"], "HOME": "/dev/null/nowhere"}
    done = start(*arguments, environment=environment)
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    if "--record" in arguments:
        assert done.stderr.strip(), "an attempt that was not kept is said to be"


def test_output_into_a_pipe_has_no_escapes_with_or_without_no_color() -> None:
    plain = start("fly", "straight-in", "--crew", "perfect")
    without = start(
        "fly", "straight-in", "--crew", "perfect", environment={**os.environ, "NO_COLOR": "1"}
    )
    assert "\x1b" not in plain.stdout
    assert plain.stdout == without.stdout


def test_it_runs_from_any_folder(tmp_path: Path) -> None:
    assert "straight-in" in start("list", folder=tmp_path).stdout


# Help -------------------------------------------------------------------------------------------


def test_help_and_the_debrief_carry_the_safety_notice() -> None:
    words = " ".join(run("--help").stdout.split())
    assert NOTICE in words
    assert NOTICE in " ".join(run("fly", "straight-in", "--crew", "perfect").stdout.split())
    assert NOTICE in " ".join(run("brief", "straight-in").stdout.split())


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_an_example_in_its_help(command: str) -> None:
    assert f"example: approach-drill {command}" in run(command, "--help").stdout


# JSON -------------------------------------------------------------------------------------------


def test_list_as_json() -> None:
    found = document("list", "--json")
    assert (found["format"], found["version"]) == ("approach-drill/list", 1)
    names = [one["exercise"] for one in found["exercises"]]
    assert names == sorted(names)
    assert "straight-in" in names
    for one in found["exercises"]:
        assert keys(one) >= {"exercise", "title", "lesson", "level", "aircraft", "airport",
                             "approach", "root"}  # fmt: skip
        assert Path(one["root"]).is_dir()


def test_brief_as_json() -> None:
    found = document("brief", "straight-in", "--json")
    assert found["version"] == 1
    assert keys(found) >= {
        "format", "course_deg", "glide_angle_deg", "threshold_crossing_ft",
        "threshold_elevation_ft", "minimums", "localizer", "glide", "distance_altitude", "fixes",
        "descent_rate", "timing", "ladders", "speeds",
    }  # fmt: skip
    assert keys(found["localizer"]) >= {"course_width_deg", "half_width_dots",
                                        "antenna_to_threshold_m"}  # fmt: skip
    assert keys(found["glide"]) >= {"usable_from_nm", "covered_from_nm"}
    assert keys(found["distance_altitude"][0]) >= {"distance_nm", "dme_nm", "altitude_flat_ft",
                                                   "altitude_ft"}  # fmt: skip
    assert keys(found["fixes"][0]) >= {"fix", "distance_nm", "dme_nm", "path_altitude_flat_ft",
                                       "path_altitude_ft", "published_altitude_ft"}  # fmt: skip
    assert keys(found["descent_rate"][0]) >= {"ground_speed_kt", "rate_fpm"}
    assert keys(found["timing"][0]) >= {"ground_speed_kt", "seconds"}
    assert keys(found["ladders"]) >= {"reference", "last_chance", "energy_limit"}
    assert keys(found["speeds"]) >= {"reference_kt", "final_kt"}


def test_fly_as_json_is_a_judgement(once: Kept) -> None:
    found = once.judgement
    assert (found["format"], found["version"]) == ("approach-drill/judgement", 1)
    assert keys(found) >= {
        "exercise", "exercise_digest", "seed", "engine", "judge", "outcome", "reason", "points",
        "areas", "items", "watches", "gates", "modes", "track", "digest",
    }  # fmt: skip
    assert (found["outcome"], found["seed"]) == ("repeat", 0)
    assert keys(found["areas"]["energy"]) >= {"points", "weight"}
    assert keys(found["items"][0]) >= {
        "item", "area", "verdict", "at_s", "distance_nm", "opened_s", "due_s", "closed_s",
        "expected", "found", "corrected", "credit", "weight", "why", "source",
    }  # fmt: skip
    missed = [one["item"] for one in found["items"] if one["verdict"] == "missed"]
    assert "landing flap" in missed
    gate = found["gates"][0]
    assert keys(gate) >= {"gate", "t_s", "distance_nm", "result", "failed", "because"}
    assert (gate["result"], gate["because"]) == ("failed", "landing flap")
    assert keys(gate["failed"][0]) >= {"criterion", "value", "limit", "unit"}
    assert keys(found["watches"][0]) >= {"watch", "severity", "from_s", "to_s", "worst", "limit",
                                         "unit", "because"}  # fmt: skip
    assert keys(found["modes"][0]) >= {"t_s", "lateral", "vertical", "lateral_armed",
                                       "vertical_armed", "thrust", "engagement", "capability",
                                       "said"}  # fmt: skip
    assert keys(found["track"][0]) >= {
        "t_s", "distance_nm", "altitude_ft", "height_ft", "cas_kt", "ground_speed_kt", "vs_fpm",
        "flaps", "gear", "localizer_dots", "glide_dots", "margin_nm",
    }  # fmt: skip
    assert [row["t_s"] for row in found["track"][:3]] == [0.0, 1.0, 2.0]


def test_the_same_flight_has_the_same_digest_and_another_seed_another() -> None:
    first = document("fly", "straight-in", "--crew", "perfect", "--json")
    again = document("fly", "straight-in", "--crew", "perfect", "--json")
    other = document("fly", "straight-in", "--crew", "perfect", "--json", "--seed", "7")
    assert first == again
    assert first["points"] == other["points"] == 100.0
    assert first["digest"] != other["digest"]


def test_check_as_json() -> None:
    found = document("check", "discontinued-high", "--limit", "3", "--json", "--jobs", "1", code=1)
    assert (found["format"], found["version"]) == ("approach-drill/check", 1)
    assert (found["precision"], found["recall"]) == (1.0, 1.0)
    result = found["results"][0]
    assert keys(result) >= {"path", "valid", "proven", "problems", "perfect_points", "mutants",
                            "misjudged"}  # fmt: skip
    assert result["perfect_points"] == 100.0
    assert keys(result["mutants"]) >= {"tried", "exact", "not_applicable"}
    assert 1 <= result["mutants"]["tried"] == result["mutants"]["exact"] <= 3
    assert result["imperfect"] == []
    assert not result["proven"], "a part of the mutants proves nothing"


def test_an_attempt_that_was_kept_is_listed_debriefed_and_judged_again(
    kept: dict[str, Any], tmp_path: Path
) -> None:
    found = document("history", "--json")
    assert (found["format"], found["version"]) == ("approach-drill/history", 1)
    assert found["attempts"][0]["level"] == "check"  # what is flown without a screen is a check
    attempt = found["attempts"][0]
    assert keys(attempt) >= {"attempt", "exercise", "level", "seat", "started", "outcome",
                             "points", "counts", "interrupted"}  # fmt: skip
    assert (attempt["exercise"], attempt["outcome"]) == ("straight-in", "repeat")
    assert attempt["points"] == pytest.approx(kept["points"], abs=0.05)

    assert document("debrief", str(attempt["attempt"]), "--format", "json") == kept
    regraded = run("regrade")
    assert regraded.returncode == 1
    assert f"now {kept['points']:.1f}" in regraded.stdout

    page = tmp_path / "debrief.html"
    assert run("debrief", "last", "--format", "html", "--output", str(page)).returncode == 0
    assert "Content-Security-Policy" in page.read_text(encoding="utf-8")
    assert run("debrief", "--format", "csv", "--output", str(page)).returncode == 2
    assert run("debrief", "--format", "csv", "--output", str(page), "--force").returncode == 0
    assert "landing flap" in page.read_text(encoding="utf-8")


# Writing files ----------------------------------------------------------------------------------


def test_a_schema_is_json_and_is_written_only_where_nothing_stands(tmp_path: Path) -> None:
    printed = document("schema", "flow")
    assert printed["title"] == "Approach Drill: flow file"
    path = tmp_path / "flow.json"
    done = run("schema", "flow", "--output", str(path))
    assert (done.returncode, done.stdout) == (0, "")
    assert json.loads(path.read_text(encoding="utf-8")) == printed
    assert run("schema", "flow", "--output", str(path)).returncode == 2
    assert run("schema", "flow", "--output", str(path), "--force").returncode == 0
    assert run("schema", "melody").returncode == 2


@pytest.mark.usefixtures("kept")
def test_an_attempt_file_opens_where_there_are_no_records(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "quill.attempt.json"
    assert run("debrief", "--format", "attempt", "--output", str(path)).returncode == 0
    here = {name: run(name, "last").stdout for name in ("debrief", "regrade", "replay")}
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "another machine"))
    for name, text in here.items():
        assert run(name, str(path)).stdout == text, name
    replayed = run("replay", str(path))
    assert replayed.returncode == 0
    assert "the same flight: digest " in replayed.stdout
    watched = run("replay", str(path), "--watch").stdout
    assert watched.endswith(replayed.stdout)
    assert "crew      gear down" in watched
    assert document("history", "--json")["attempts"] == []


@pytest.mark.usefixtures("kept")
def test_an_attempt_file_that_was_tampered_with_is_another_flight(tmp_path: Path) -> None:
    attempt = json.loads(run("debrief", "--format", "attempt").stdout)
    attempt["outcome"], attempt["points"] = "passed", 100.0
    attempt["log"] = [one for one in attempt["log"] if one["control"] != "gear"]
    path = tmp_path / "boast.attempt.json"
    path.write_text(json.dumps(attempt), encoding="utf-8")
    replayed = run("replay", str(path))
    assert replayed.returncode == 1
    assert "another flight" in replayed.stdout
    assert "points 100" not in replayed.stdout


@pytest.mark.parametrize("command", ["debrief", "regrade", "replay"])
def test_what_is_no_attempt_is_a_mistake_with_the_value_in_it(command: str, tmp_path: Path) -> None:
    (tmp_path / "crew.yaml").write_text(CARELESS, encoding="utf-8")
    for reference, words in (("lats", '"lats"'), ("crew.yaml", "no attempt file"), ("99", "99")):
        done = run(command, reference, folder=tmp_path)
        assert (done.returncode, done.stdout) == (2, ""), reference
        assert words in done.stderr
        assert "Traceback" not in done.stderr
