"""From files to one exercise: items expanded, names resolved, and a stored form that comes back."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.scenario import corpus
from trainer.errors import FileProblems, UserError
from trainer.scenario import compose, library, nodes
from trainer.scenario.exercise import Act, Exercise, Item
from trainer.scenario.moments import START, Compare, Figure, Happened, Shows
from trainer.units import FT, NM

SMALLEST = corpus.ROOT / "good" / "smallest.yaml"
EVERYTHING = corpus.ROOT / "good" / "everything.yaml"


@pytest.fixture(scope="module")
def smallest() -> Exercise:
    return compose.load(SMALLEST, corpus.corpus_library())


@pytest.fixture(scope="module")
def everything() -> Exercise:
    return compose.load(EVERYTHING, corpus.corpus_library())


def item(exercise: Exercise, name: str) -> Item:
    flow = exercise.flow
    return next(one for one in (*flow.items, *flow.go_around) if one.name == name)


def composed(**keys: Any) -> Exercise:
    """The smallest exercise with some keys replaced or added."""
    plain = {**nodes.plain(library.parse_file(SMALLEST)), **keys}
    node = nodes.from_plain(plain, nodes.Source("exercise"))
    return compose.compose(node, "smallest", corpus.corpus_library())


def problems(**keys: Any) -> str:
    with pytest.raises(FileProblems) as caught:
        composed(**keys)
    return str(caught.value)


def test_do_with_say_becomes_two_items(smallest: Exercise) -> None:
    flap, said = item(smallest, "landing flap"), item(smallest, "landing flap, said")
    assert flap.act == Act("do", control="flaps", position="36")
    assert said.act == Act("say", intent="flap")
    assert said.opens == Happened("done", "landing flap")
    assert said.due == 10.0
    assert (said.area, said.weight, said.void) == (flap.area, flap.weight, flap.void)
    assert said.why != flap.why
    assert said.why == "Said, so that the other pilot knows what was selected and can check it."


def test_a_checklist_becomes_an_item_for_its_start_and_one_for_each_line(
    smallest: Exercise,
) -> None:
    names = [one.name for one in smallest.flow.items]
    at = names.index("landing checklist")
    assert names[at : at + 4] == [
        "landing checklist", "landing: gear", "landing: flap", "landing: cabin",
    ]  # fmt: skip
    gear, flap = item(smallest, "landing: gear"), item(smallest, "landing: flap")
    assert item(smallest, "landing checklist").act == Act("checklist", checklist="landing")
    assert gear.opens == Happened("done", "landing checklist")
    assert flap.opens == Happened("done", "landing: gear")
    assert gear.act.states == (Shows("config", "gear", ("down",)),)
    assert flap.act.states == (Shows("config", "flaps", ("36",)),)
    assert (flap.due, flap.closes, flap.area) == (10.0, 25.0, "checklist")
    assert flap.weight == pytest.approx(2.0 / 3.0)


def test_an_answer_that_is_not_written_is_the_state_shown(smallest: Exercise) -> None:
    (checklist,) = smallest.flow.checklists
    assert [(line.challenge, line.answer, line.by) for line in checklist.lines] == [
        ("gear", "down", "flying"),
        ("flap", "36", "flying"),
        ("cabin", "secure", "monitoring"),
    ]


def test_flap_roles_become_the_stages_of_the_type(smallest: Exercise) -> None:
    assert item(smallest, "go-around flap").act.position == "22"
    assert smallest.start.flaps == "0"


def test_a_figure_may_be_a_named_value_with_an_offset(smallest: Exercise) -> None:
    assert item(smallest, "slow").act == Act(
        "set", control="speed", figure=Figure(20.0, "reference speed")
    )
    assert item(smallest, "tune").act.figure == Figure(0.0, "receiver frequency")


def test_what_an_item_does_not_say_is_the_documented_default(smallest: Exercise) -> None:
    tune = item(smallest, "tune")
    assert (tune.opens, tune.role, tune.early, tune.weight) == (START, "either", "fine", 1.0)
    assert tune.closes is None
    assert tune.aim is None


def test_a_variant_is_the_item_with_its_keys_replaced(smallest: Exercise) -> None:
    flap = item(smallest, "landing flap")
    ((name, variant),) = flap.variants
    assert name == "early"
    assert variant == replace(flap, opens=Shows("signal", "glideslope", ("alive",)), variants=())


def test_the_final_fix_is_resolved_by_the_airport(smallest: Exercise) -> None:
    assert item(smallest, "final fix").opens == Happened("passed", "KEVUX")


def test_a_clearance_creates_its_read_back_and_what_is_then_set(everything: Exercise) -> None:
    names = [one.name for one in everything.flow.items]
    assert names[-9:] == [
        "read back pressure", "set altimeter (pressure)", "read back descent",
        "set altitude (descent)", "set heading (descent)", "set speed (descent)",
        "read back cleared", "answer to gs-flag", "answer to loc-flag",
    ]  # fmt: skip
    read_back = item(everything, "read back descent")
    assert read_back.act == Act("read back", event="descent")
    assert read_back.opens == Happened("event", "descent")
    assert (read_back.due, read_back.closes, read_back.weight) == (12.0, 25.0, 2.0)
    assert (read_back.area, "Doc 4444" in read_back.source) == ("communication", True)
    heading = item(everything, "set heading (descent)")
    assert heading.act == Act("set", control="heading", figure=Figure(95.0))
    assert (heading.due, heading.closes, heading.area) == (15.0, 40.0, "clearances")
    assert item(everything, "set altimeter (pressure)").act.control == "altimeter"


def test_an_event_with_items_none_or_without_clearance_creates_nothing(
    everything: Exercise,
) -> None:
    names = " ".join(one.name for one in everything.flow.items)
    assert "silent" not in names


def test_a_fault_creates_its_answer_with_every_act_that_is_accepted(everything: Exercise) -> None:
    answer = item(everything, "answer to gs-flag")
    go_around = Act("do", control="go-around")
    assert answer.answers == (go_around, Act("say", intent="landing"))
    assert answer.act == go_around  # the first is the one a good crew gives
    assert answer.opens == Happened("event", "gs-flag")
    assert (answer.due, answer.closes, answer.area) == (8.0, 20.0, "decision")
    assert item(everything, "answer to loc-flag").answers == (go_around,)


def test_a_clearance_carries_exactly_what_must_be_read_back(everything: Exercise) -> None:
    slots = {event.name: dict(event.slots) for event in everything.events}
    assert slots["cleared"] == {"runway": "14"}
    assert slots["descent"] == {
        "altitude": "3000", "heading": "095", "speed": "180", "distance": "5",
    }  # fmt: skip
    assert slots["pressure"] == {"setting": "1009"}


def test_names_in_braces_are_filled_in(everything: Exercise) -> None:
    assert everything.events[2].atc == "Marrow Two One, cleared ILS 14"


def test_changes_replace_whole_keys_remove_and_add(everything: Exercise) -> None:
    names = [one.name for one in everything.flow.items]
    approach_mode = item(everything, "approach mode")
    assert approach_mode.closes == Compare("distance", "below", Figure(6.0))
    assert approach_mode.weight == 5.0
    assert "mode call" not in names
    assert names[names.index("gear down") + 1] == "hundred"


def test_an_item_may_exist_only_on_some_types(smallest: Exercise) -> None:
    document = compose.document_of(smallest)
    document["aircraft"]["guidance"].update({"rollout": "false", "capability height": "0 ft"})
    assert any(one.name == "second autopilot" for one in smallest.flow.items)
    assert all(one.name != "second autopilot" for one in compose.from_document(document).flow.items)


def test_an_item_that_does_not_exist_on_the_type_counts_as_done(smallest: Exercise) -> None:
    document = compose.document_of(smallest)
    document["aircraft"]["gear"] = {"fixed": "true", "drag": "0.0175"}
    checklist = item(compose.from_document(document), "landing checklist")
    assert checklist.opens.children[0] == START  # type: ignore[union-attr]


def test_a_gate_has_its_criteria_in_a_fixed_order(smallest: Exercise) -> None:
    (gate,) = smallest.flow.gates
    assert [(one.name, one.limit, one.text) for one in gate.criteria] == [
        ("localizer", 1.0, ""), ("glideslope", 1.0, ""), ("speed above", 10.0, ""),
        ("speed below", 5.0, ""), ("sink", 1000.0, ""), ("configuration", 0.0, "landing"),
        ("thrust idle", 3.0, ""), ("checklist", 0.0, "landing"), ("bank", 15.0, ""),
    ]  # fmt: skip


def test_the_glide_check_altitude_allows_for_the_curved_earth(smallest: Exercise) -> None:
    # By hand: 24 ft + 50 ft + 8.97 NM x 318.44 ft/NM = 2930 ft, and 0.883 ft/NM² x 8.97² = 71 ft
    # of curvature; together 3001 ft.
    approach = smallest.approach
    assert approach.final_fix.distance_nm == pytest.approx(8.97, abs=0.005)
    flat_ft = 24 + 50 + approach.final_fix.distance_nm * NM * math.tan(math.radians(3)) / FT
    assert flat_ft == pytest.approx(2930, abs=2)
    assert approach.glide_check_altitude_ft == 3000.0


def test_the_final_course_and_the_fixes_agree(smallest: Exercise) -> None:
    for fix in (leg.fix for leg in smallest.approach.legs):
        course_deg = math.degrees(math.atan2(-fix.x_m, -fix.y_m)) % 360
        assert course_deg == pytest.approx(smallest.approach.localizer.course_deg, abs=0.01)


def test_the_start_lies_on_the_leg_into_its_fix(everything: Exercise) -> None:
    tulep = next(leg.fix for leg in everything.approach.legs if leg.fix.name == "TULEP")
    start = everything.start
    away_nm = math.hypot(start.x_m - tulep.x_m, start.y_m - tulep.y_m) / NM
    assert away_nm == pytest.approx(4.0)
    # The leg from WILQA to TULEP was laid out at right angles to the final course of 140°.
    assert start.heading_deg == pytest.approx(50.0, abs=0.01)
    assert start.next_fix == "TULEP"


def test_before_the_first_fix_the_leg_that_leaves_it_is_extended_backwards() -> None:
    start = composed(
        start={"before": "OMBRY", "distance": "5 NM", "altitude": "3000 ft", "speed": "210 kt"}
    ).start
    assert math.hypot(start.x_m, start.y_m) / NM == pytest.approx(16.5, abs=0.01)
    assert start.heading_deg == pytest.approx(140.0, abs=0.01)


def test_a_heading_may_be_given_instead() -> None:
    start = composed(
        start={
            "before": "OMBRY", "distance": "5 NM", "altitude": "3000 ft", "speed": "210 kt",
            "heading": "110 deg",
        }
    ).start  # fmt: skip
    assert start.heading_deg == 110.0


@pytest.mark.parametrize(
    ("wind", "additive_kt"),
    [
        ([], 5.0),
        ([{"height": "0 ft", "from": "140 deg", "speed": "8 kt"}], 5.0),
        ([{"height": "0 ft", "from": "140 deg", "speed": "24 kt"}], 12.0),
        ([{"height": "0 ft", "from": "200 deg", "speed": "24 kt"}], 6.0),
        ([{"height": "0 ft", "from": "140 deg", "speed": "60 kt"}], 20.0),
        ([{"height": "0 ft", "from": "320 deg", "speed": "30 kt"}], 5.0),
    ],
)
def test_the_final_approach_speed_adds_half_the_headwind_between_5_and_20(
    wind: list[dict[str, str]], additive_kt: float
) -> None:
    exercise = composed(weather={"wind": wind})
    assert exercise.final_kt - exercise.reference_kt == pytest.approx(additive_kt)


@pytest.mark.parametrize(
    ("mass", "reference_kt"),
    # Hand calculation: 17.3 kt times the square root of the mass in tonnes.
    [("44 t", 115), ("52 t", 125), ("58 t", 132), ("64 t", 138)],
)
def test_the_reference_speed_follows_the_mass(mass: str, reference_kt: float) -> None:
    exercise = composed(
        start={"before": "OMBRY", "altitude": "3000 ft", "speed": "220 kt", "mass": mass}
    )
    assert exercise.reference_kt == pytest.approx(reference_kt, abs=0.5)


def test_comments_layout_and_the_order_of_keys_do_not_change_the_digest(smallest: Exercise) -> None:
    plain = nodes.plain(library.parse_file(SMALLEST))
    turned = dict(reversed(list(plain.items())))
    node = nodes.from_plain({**turned, "notes": "nothing"}, nodes.Source("other"))
    again = compose.compose(node, "smallest", corpus.corpus_library())
    assert again.digest == smallest.digest
    assert again == smallest


def test_a_changed_value_changes_the_digest(smallest: Exercise) -> None:
    assert composed(title="Another").digest != smallest.digest


def test_changes_are_part_of_the_stored_form(everything: Exercise) -> None:
    assert "changes" not in compose.document_of(everything)["exercise"]
    stored = compose.from_canonical(everything.canonical)
    assert stored == everything


@pytest.mark.parametrize(
    "text", ["", "[]", "{", '"x"', "{}", '{"name": "x"}', "[" * 5000, '{"exercise": 3}']
)
def test_a_stored_text_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(FileProblems):
        compose.from_canonical(text)


def test_a_damaged_stored_exercise_is_refused(smallest: Exercise) -> None:
    document = compose.document_of(smallest)
    for kind in ("airport", "aircraft", "flow", "house", "exercise"):
        with pytest.raises(FileProblems):
            compose.from_document({**document, kind: "gone"})
        with pytest.raises(FileProblems):
            compose.from_document({**document, kind: {}})


def test_an_unknown_name_gets_a_suggestion() -> None:
    with pytest.raises(UserError, match='did you mean "straight-in"'):
        compose.load("straigt-in", corpus.corpus_library())


def test_a_path_that_is_no_exercise_is_refused(tmp_path: Path) -> None:
    for name in ("missing.yaml", "Wrong Name.yaml", "x.txt"):
        with pytest.raises(FileProblems):
            compose.load(tmp_path / name, corpus.corpus_library())
    (tmp_path / "folder.yaml").mkdir()
    with pytest.raises(FileProblems, match="is a folder"):
        compose.load(tmp_path / "folder.yaml", corpus.corpus_library())


def test_an_exercise_beside_its_own_flows_finds_them_first(tmp_path: Path) -> None:
    (tmp_path / "exercises").mkdir()
    (tmp_path / "flows").mkdir()
    flow = (corpus.ROOT / "library" / "flows" / "drill.yaml").read_text(encoding="utf-8")
    (tmp_path / "flows" / "drill.yaml").write_text(
        flow.replace("title: Small drill", "title: My drill"), encoding="utf-8"
    )
    mine = tmp_path / "exercises" / "mine.yaml"
    mine.write_text(SMALLEST.read_text(encoding="utf-8"), encoding="utf-8")
    assert compose.load(mine, corpus.corpus_library()).flow.title == "My drill"


def test_events_of_other_exercises_may_be_named_in_a_flow_but_not_in_the_exercise() -> None:
    added = {
        "item": "answer", "say": "checked", "opens": {"event": "elsewhere"}, "area": "calls",
        "why": "Because.", "source": "common practice",
    }  # fmt: skip
    assert 'unknown event "elsewhere"' in problems(changes=[{"add": added}])
    document = compose.document_of(composed())
    document["flow"]["items"].append(added)
    assert item(compose.from_document(document), "answer").opens == Happened("event", "elsewhere")


def test_circles_through_items_and_events_are_found() -> None:
    def call(name: str, after: str) -> dict[str, Any]:
        return {
            "add": {
                "item": name, "say": "checked", "opens": {"done": after}, "area": "calls",
                "why": "Because.", "source": "common practice",
            }
        }  # fmt: skip

    text = problems(changes=[call("a", "b"), call("b", "c"), call("c", "a")])
    assert text.count("a circle:") == 1
    assert composed(changes=[call("a", "tune"), call("b", "a"), call("c", "a")])


def test_no_part_of_an_exercise_may_be_a_path(tmp_path: Path) -> None:
    for key in ("airport", "aircraft", "flow", "house"):
        for name in ("../x", "/etc/passwd", "QXMA", "a" * 65, "x.yaml", "", "x y"):
            assert "exercise" in problems(**{key: name})


def test_a_house_can_change_a_flow(tmp_path: Path) -> None:
    (tmp_path / "houses").mkdir()
    words = (paths_house := library.default_library().find("house", "standard")) and (
        paths_house.path.read_text(encoding="utf-8")
    )
    assert words
    (tmp_path / "houses" / "ours.yaml").write_text(
        words.replace("house: standard", "house: ours")
        + "\nchanges:\n"
        + "  - {flow: drill, change: slow, due: 33 s}\n"
        + "  - {flow: other, remove: tune}\n",
        encoding="utf-8",
    )
    found = library.Library((tmp_path, *corpus.roots()))
    plain = {**nodes.plain(library.parse_file(SMALLEST)), "house": "ours"}
    node = nodes.from_plain(plain, nodes.Source("exercise"))
    exercise = compose.compose(node, "x", found)
    assert item(exercise, "slow").due == 33.0
    assert any(one.name == "tune" for one in exercise.flow.items)
    assert compose.from_canonical(exercise.canonical) == exercise


def test_a_flow_may_build_on_another_and_says_only_what_differs() -> None:
    coupled = compose.load(corpus.ROOT / "good" / "coupled.yaml", corpus.corpus_library()).flow
    base = corpus.smallest().flow
    assert (coupled.title, coupled.announce) == (
        "Small drill, coupled",
        ("LOC", "GLIDE", "capability"),
    )
    names = [one.name for one in coupled.items if one.act.kind != "line"]
    theirs = [one.name for one in base.items if one.act.kind != "line"]
    theirs.remove("landing checklist")
    theirs.insert(theirs.index("approach mode") + 1, "second look")
    assert names == [*theirs, "cabin report"]
    slow = next(one for one in coupled.items if one.name == "slow")
    assert (slow.due, slow.why, slow.group) == (30.0, "There is more to do.", "slowing")
    assert [one.name for one in coupled.go_around] == [
        *(one.name for one in base.go_around),
        "say so",
    ]
    assert [watch.name for watch in coupled.watches] == ["flap limit", "sink"]
    assert coupled.gates == base.gates
    assert {one.name: len(one.lines) for one in coupled.checklists} == {"cabin": 1, "landing": 1}


def test_a_flow_based_on_one_that_is_not_there_is_told_which_is_near(tmp_path: Path) -> None:
    path = tmp_path / "flow-x.yaml"
    path.write_text("format: 1\ntitle: X\nbased on: jet-isl\n", encoding="utf-8")
    with pytest.raises(FileProblems, match=r'no flow "jet-isl" in flows/; did you mean "jet-ils"'):
        compose.load(SMALLEST, corpus.Overlaid("flow", path))


def test_a_segment_of_a_based_flow_takes_the_place_of_its_namesake_or_comes_last() -> None:
    found = library.default_library()
    whole, slower, position = (
        {part.name: part for part in compose.load(name, found).flow.parts}
        for name in ("straight-in", "by-radial", "cold-path")
    )
    assert [*slower] == [*whole]
    other = [name for name, part in slower.items() if part != whole[name]]
    assert other == ["to the gate", "gate to minimums"]
    assert [*position] == [*whole, "path"]


def test_watches_of_an_exercise_stand_behind_those_of_the_flow_and_are_stored_with_it() -> None:
    written = {
        "watch": "too low",
        "never": {"height": "below 200 ft"},
        "why": "Too low.",
        "source": "test",
    }
    found = composed(watches=[written])
    assert [watch.name for watch in found.flow.watches][-1] == "too low"
    assert compose.from_canonical(found.canonical).flow.watches == found.flow.watches
    document = compose.document_of(found)
    assert "watches" not in document["exercise"]
    assert document["flow"]["watches"][-1] == written
