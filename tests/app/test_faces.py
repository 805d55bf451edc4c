"""What the panels say, as text: hand-made views, every colour also a word or a shape."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from tests.app.help import driver, straight_in
from trainer.app.profile import profile_of, scale_nm, volume_of
from trainer.app.scribe import Scribe
from trainer.app.view import CUE, Deviation, View, view_of
from trainer.app.widgets import faces, instruments
from trainer.app.widgets.lines import Line, between, big, cut, padded, plain, wrapped
from trainer.app.widgets.palette import STYLES
from trainer.app.widgets.strip import ProfileStrip
from trainer.crew.session import Session
from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.guidance.modes import Modes
from trainer.scenario.compose import load
from trainer.scenario.draw import draw
from trainer.scenario.library import default_library
from trainer.text import width as cells


def first_row() -> Row:
    return driver("check").row


def view(**changes: object) -> View:
    row = first_row()
    made = view_of(row, Scribe(straight_in(), row))
    return replace(made, **changes)  # type: ignore[arg-type]


def text(lines: list[Line]) -> str:
    return "\n".join(plain(line).rstrip() for line in lines)


ALL_FACES = [
    lambda one, width: faces.header(one, "check", "", width),
    faces.annunciator,
    instruments.energy,
    instruments.raw_data,
    instruments.position,
]


@pytest.mark.parametrize("face", ALL_FACES)
@pytest.mark.parametrize("width", [26, 28, 33, 46, 100])
def test_every_meaning_that_a_panel_uses_has_a_style(face, width: int) -> None:  # type: ignore[no-untyped-def]
    for line in face(view(), width):
        assert all(meaning in STYLES["dark"] for _, meaning in line)


def test_active_and_armed_modes_are_words() -> None:
    row = first_row()._replace(
        modes=Modes("NAV", "ALT", ("LOC",), ("GLIDE",), "SPEED", "AP BOTH", "OPERATIONAL")
    )
    shown = text(faces.annunciator(view_of(row, Scribe(straight_in(), row)), 100))
    active, armed = shown.splitlines()[1:3]
    assert active.split() == ["NAV", "ALT", "SPEED", "AP", "BOTH", "OPERATIONAL"]
    assert armed.split() == ["armed", "LOC", "armed", "GLIDE"]


def test_a_change_is_marked_by_a_shape_and_reverse_video_for_ten_seconds() -> None:
    row = first_row()
    scribe = Scribe(straight_in(), row)
    changed = row._replace(step=50, modes=row.modes._replace(lateral="LOC"), localizer="covered")
    scribe.take(changed, ())
    lines = faces.annunciator(view_of(changed, scribe), 100)
    assert ">LOC<" in plain(lines[1])
    assert any("new" in meaning for _, meaning in lines[1])
    assert all(styles["active new"].reverse for styles in STYLES.values())
    later = changed._replace(step=50 + CUE)
    assert ">LOC<" not in text(faces.annunciator(view_of(later, scribe), 100))
    assert CUE == 100


def test_an_active_mode_without_its_signal_reads_fail() -> None:
    row = first_row()._replace(modes=Modes("LOC", "GLIDE", (), (), "SPEED", "AP", ""))
    row = row._replace(localizer="flagged", glide="covered")
    cells = view_of(row, Scribe(straight_in(), row)).modes
    assert [cell.is_failed for cell in cells] == [True, False, False, False, False]
    line = faces.annunciator(view_of(row, Scribe(straight_in(), row)), 80)[1]
    assert ("  LOC FAIL", "warning") in line


def test_a_glide_path_left_behind_on_the_runway_is_no_failure() -> None:
    row = first_row()._replace(modes=Modes("LOC", "GLIDE", (), (), "IDLE", "FD", ""))
    airborne = row._replace(glide="none")
    assert view_of(airborne, Scribe(straight_in(), airborne)).modes[1].is_failed
    landed = airborne._replace(is_on_ground=True)
    assert not view_of(landed, Scribe(straight_in(), landed)).modes[1].is_failed


def test_levers_that_a_type_does_not_have_are_not_shown() -> None:
    seen = view(speedbrake_lever="", spoilers="", autobrake="", reverse="", gear_lever="")
    lines = [plain(line) for line in instruments.energy(seen, 26)]
    assert lines[5].split() == ["GEAR", "FIXED"]
    assert (lines[6].strip(), lines[7].strip()) == ("", "")
    single = Session(draw(load("by-radial", default_library()), 0))
    alone = view_of(single.row, Scribe(single.exercise, single.row))
    levers = (alone.speedbrake_lever, alone.spoilers, alone.autobrake, alone.reverse)
    assert (*levers, alone.gear_lever) == ("",) * 5
    shown = [plain(line) for line in instruments.energy(view(), 26)]
    assert shown[6].split() == ["BRAKE", "in", "spoil", "off"]
    assert shown[7].split() == ["AUTO", "off", "reverse", "off"]
    braking = instruments.energy(view(autobrake="medium", reverse="selected"), 25)
    assert plain(braking[7]).rstrip() == " AUTO  medium reverse on"


def test_a_speed_flown_instead_of_the_selected_one_stands_under_its_mode() -> None:
    row = first_row()._replace(protected_kt=203.6)
    row = row._replace(selectors=row.selectors._replace(speed_kt=190.0))
    lines = faces.annunciator(view_of(row, Scribe(straight_in(), row)), 80)
    assert ("flown 204 min", "caution") in lines[2]


def test_a_flight_director_switched_off_behind_the_autopilot_is_shown() -> None:
    row = first_row()
    scribe = Scribe(straight_in(), row)

    def shown(step: int, engagement: str, *facts: Fact) -> bool:
        now = row._replace(step=step, modes=row.modes._replace(engagement=engagement))
        scribe.take(now, facts)
        return any(
            ("FD off", "caution") in line for line in faces.annunciator(view_of(now, scribe), 80)
        )

    assert not shown(1, "AP")
    assert shown(2, "AP", Fact(1, "director", "off"))
    assert not shown(3, "OFF")
    assert shown(4, "AP")
    assert not shown(5, "AP", Fact(4, "director", "on"))


def test_a_word_that_leaves_the_armed_list_by_capturing_is_new_only_where_it_is_active() -> None:
    row = first_row()._replace(modes=Modes("NAV", "ALT", ("LOC",), (), "SPEED", "AP", ""))
    scribe = Scribe(straight_in(), row)
    captured = row._replace(step=1, modes=Modes("LOC", "ALT", (), (), "SPEED", "AP", ""))
    scribe.take(captured, ())
    lateral = view_of(captured, scribe).modes[0]
    assert lateral.is_new
    assert not lateral.is_armed_new


def test_computed_guidance_reads_path_and_has_its_own_colour() -> None:
    row = first_row()._replace(modes=Modes("LOC", "PATH", (), (), "SPEED", "AP", ""))
    line = faces.annunciator(view_of(row, Scribe(straight_in(), row)), 100)[1]
    assert ("  PATH", "guidance") in line


def test_a_signal_that_is_not_received_shows_a_word_and_no_needle() -> None:
    for state, word in (("none", "NO SIGNAL"), ("flagged", "FLAG")):
        row = first_row()._replace(localizer=state, localizer_dots=None, glide=state)
        shown = text(instruments.raw_data(view_of(row, Scribe(straight_in(), row)), 33))
        assert word in shown
        assert "◆" not in shown


@pytest.mark.parametrize(
    ("dots", "place", "word"),
    [
        (0.0, 8, "on course"),
        (1.0, 4, "1.0 right of course"),
        (-2.0, 16, "2.0 left of course"),
        (2.5, 0, "2.5 right of course"),
    ],
)
def test_the_localizer_diamond_is_the_course_as_seen_from_the_aircraft(
    dots: float, place: int, word: str
) -> None:
    lines = instruments.raw_data(view(localizer=Deviation("LOC", dots, "")), 36)
    assert plain(lines[1]).index("◆") == place + 1
    assert word in plain(lines[2])


def test_the_needle_is_called_after_what_is_tuned() -> None:
    for vor, label in (("covered", "VOR"), ("none", "LOC")):
        row = first_row()._replace(localizer="none", localizer_dots=None, vor=vor, vor_dots=0.5)
        shown = text(instruments.raw_data(view_of(row, Scribe(straight_in(), row)), 33))
        assert shown.lstrip().startswith(label)


def test_on_an_rnp_final_the_scale_is_that_of_the_position_until_a_station_is_tuned() -> None:
    row = first_row()._replace(localizer="none", localizer_dots=None, track="received")
    for track_dots, state, words in ((0.5, "received", "0.5 right"), (None, "flagged", "FLAG")):
        seen = row._replace(track=state, track_dots=track_dots)
        shown = text(instruments.raw_data(view_of(seen, Scribe(straight_in(), seen)), 33))
        assert shown.lstrip().startswith("NAV")
        assert words in shown
    tuned = row._replace(localizer="covered", localizer_dots=0.0, track_dots=0.5)
    assert view_of(tuned, Scribe(straight_in(), tuned)).localizer.label == "LOC"


def test_nav_reads_fail_while_the_position_has_lost_its_integrity() -> None:
    row = first_row()._replace(track="flagged", track_dots=None)
    lost = row._replace(modes=row.modes._replace(lateral="NAV"))
    assert view_of(lost, Scribe(straight_in(), lost)).modes[0].is_failed
    assert not view_of(first_row(), Scribe(straight_in(), first_row())).modes[0].is_failed


@pytest.mark.parametrize(
    ("dots", "row", "word"), [(0.0, 4, "on"), (1.0, 6, "high"), (-1.5, 1, "low"), (2.5, 8, "high")]
)
def test_the_glide_diamond_stands_below_the_middle_when_the_aircraft_is_high(
    dots: float, row: int, word: str
) -> None:
    lines = instruments.raw_data(view(glide=Deviation("GLIDE", dots, "")), 33)
    found = [at for at, line in enumerate(lines) if "◆" in plain(line)[20:]]
    assert found == [row]
    assert word in text(lines)


@pytest.mark.parametrize(
    ("path_ft", "words"), [(124.0, ["high", "120ft"]), (-9990.0, ["low", "9990ft"]), (3.0, ["on"])]
)
@pytest.mark.parametrize("width", [26, 33])
def test_a_computed_path_is_shown_as_figures_beside_the_received_one(
    path_ft: float, words: list[str], width: int
) -> None:
    lines = instruments.raw_data(view(path_ft=path_ft), width)
    column = max(18, width - 10)
    shown = [plain(line)[column + 3 :].strip() for line in lines[5:8]]
    assert [word for word in shown if word] == ["PATH", *words]
    assert all(cells(plain(line)) <= max(28, width) for line in lines)


def test_no_computed_path_is_shown_while_path_is_not() -> None:
    row = first_row()
    assert view_of(row, Scribe(straight_in(), row)).path_ft is None
    armed = row._replace(followed_error_ft=-880.0)
    assert view_of(armed, Scribe(straight_in(), armed)).path_ft == -880.0


def test_the_distance_between_two_dots_is_the_same_on_both_sides() -> None:
    places = []
    for dots in (-2.0, -1.0, 0.0, 1.0, 2.0):
        lines = instruments.raw_data(view(localizer=Deviation("LOC", dots, "")), 36)
        places.append(plain(lines[1]).index("◆"))
    assert [b - a for a, b in pairwise(places)] == [-4, -4, -4, -4]


def test_too_fast_is_said_in_words_and_red() -> None:
    lines = instruments.energy(view(cas_kt=240.0, limit_kt=214.0, limit_why="flaps 12"), 33)
    assert "214 OVER" in text(lines)
    assert any(meaning == "warning" for line in lines for _, meaning in line)


def test_the_limit_is_the_lowest_of_the_configuration() -> None:
    row = first_row()
    scribe = Scribe(straight_in(), row)
    clean = view_of(row, scribe)
    assert (clean.limit_kt, clean.limit_why) == (332.0, "maximum")
    flaps = view_of(row._replace(flap_lever=2, flap=2.0), scribe)
    assert (flaps.limit_kt, flaps.limit_why) == (214.0, "flaps 12")
    gear = view_of(row._replace(gear=0.5, gear_lever="up"), scribe)
    assert (gear.limit_kt, gear.limit_why) == (222.0, "gear in transit")


def test_flaps_on_their_way_show_between_which_stages_they_are() -> None:
    row = first_row()._replace(flap_lever=2, flap=1.4)
    made = view_of(row, Scribe(straight_in(), row))
    assert made.is_flap_moving
    assert made.flap_shown == "4-12"
    assert "… at 4-12" in text(instruments.energy(made, 33))


def test_the_trend_is_the_speed_in_ten_seconds_if_it_goes_on_like_this() -> None:
    row = first_row()
    scribe = Scribe(straight_in(), row)
    for step in range(1, 30):
        # Hand calculation: 0.1 kt lost each tenth of a second is 10 kt in ten seconds.
        row = row._replace(step=step, cas_kt=row.cas_kt - 0.1)
        scribe.take(row, ())
    assert scribe.trend_kt == pytest.approx(-10.0)
    assert f"▼ {row.cas_kt - 10.0:.0f}" in text(instruments.energy(view_of(row, scribe), 33))


def test_north_is_360_and_headings_have_three_figures() -> None:
    shown = text(instruments.position(view(heading_deg=359.7, selected_heading_deg=5.0), 33))
    assert "360" in shown
    assert "005" in shown


def test_radio_height_is_shown_only_where_it_is_alive() -> None:
    row = first_row()
    scribe = Scribe(straight_in(), row)
    assert view_of(row._replace(radio_ft=2501.0), scribe).radio_ft is None
    assert view_of(row._replace(radio_ft=2499.0), scribe).radio_ft == 2499.0


def test_the_log_holds_what_was_heard_said_and_refused_with_the_reason() -> None:
    row = first_row()
    scribe = Scribe(straight_in(), row)
    scribe.take(
        row._replace(step=10),
        [
            Fact(10, "event", "cleared", "Marrow Two One, cleared ILS approach"),
            Fact(10, "said", "", "localizer alive"),
            Fact(10, "refused", "approach mode", reason="no localizer is received"),
            Fact(10, "heard", "IMRW"),
            Fact(10, "heard", ""),
            Fact(10, "mode", "lateral", "LOC", "NAV", "captured"),
        ],
    )
    lines = [plain(line).split(None, 2) for line in faces.log(view_of(row, scribe), 80, 10)]
    assert [(who, words) for _, who, words in lines] == [
        ("ATC", "Marrow Two One, cleared ILS approach"),
        ("YOU", "localizer alive"),
        ("REFUSED", "approach mode: no localizer is received"),
        ("IDENT", ".. -- .-. .--"),
        ("IDENT", "nothing heard"),
    ]


def test_the_log_shows_its_newest_lines() -> None:
    row = first_row()
    scribe = Scribe(straight_in(), row)
    for step in range(1, 20):
        scribe.take(row._replace(step=step), [Fact(step, "said", "", f"call {step}")])
    shown = text(faces.log(view_of(row, scribe), 60, 3))
    assert shown.splitlines()[-1].endswith("call 19")
    assert len(shown.splitlines()) == 3


def test_control_characters_of_a_file_never_reach_a_line() -> None:
    row = first_row()
    scribe = Scribe(straight_in(), row)
    scribe.take(row, [Fact(0, "event", "x", "bell\x07 \x1b[31mred\u202e [/bold]")])
    shown = text(faces.log(view_of(row, scribe), 90, 5))
    assert "\x1b" not in shown
    assert "\u202e" not in shown
    assert "[/bold]" in shown


def test_a_challenge_waits_in_the_checklist_pane_and_nothing_is_there_without_one() -> None:
    assert faces.checklist(view()) == []
    shown = text(faces.checklist(view(checklist="landing", challenge="gear", answer="down")))
    assert "LANDING CHECKLIST" in shown
    assert "gear  …  down" in shown


@pytest.mark.parametrize(
    ("state", "label"), [("knob", "KNOB"), ("say", "SAY"), ("read back", "READ BACK")]
)
def test_the_entry_line_names_its_state_and_shows_what_is_typed(state: str, label: str) -> None:
    shown = text(faces.entry(state, "3000", "", 80))
    assert label in shown
    assert "3000" in shown


def test_the_view_holds_nothing_that_only_some_levels_show() -> None:
    names = set(View.__slots__)
    assert not {name for name in names if "margin" in name or "hint" in name or "due" in name}


# Lines ------------------------------------------------------------------------------------------


def test_lines_are_padded_and_cut_to_their_cells() -> None:
    line: Line = (("abc", ""), ("defg", "label"))
    assert plain(padded(line, 9)) == "abcdefg  "
    assert plain(cut(line, 5)) == "abcd…"
    assert plain(padded((("日本語", ""),), 5)) == "日本…"
    assert cells(plain(padded((("日本語", ""),), 4))) == 4


def test_left_and_right_meet_at_the_edges() -> None:
    assert plain(between((("a", ""),), (("b", ""),), 5)) == "a   b"


def test_text_is_broken_at_spaces() -> None:
    assert wrapped("one two three", 7) == ["one two", "three"]
    assert wrapped("ab", -3) == ["a", "b"]
    assert wrapped("abcdefghij", 4) == ["abcd", "efgh", "ij"]


def test_big_figures_are_three_cells_each() -> None:
    for row in big("0123456789- "):
        assert len(row) == 36
    shapes = {tuple(big(digit)) for digit in "0123456789"}
    assert len(shapes) == 10


# The profile strip ------------------------------------------------------------------------------


def strip(distance_nm: float, altitude_ft: float, volume: bool = False) -> list[str]:
    made = driver("check")
    profile = profile_of(straight_in())
    signal = volume_of(made.session.flight.around) if volume else None
    drawing = ProfileStrip(profile, signal)
    return [plain(line) for line in drawing.lines(distance_nm, altitude_ft, 3000.0, 80, 12)]


def test_a_strip_that_was_drawn_before_shows_what_a_new_one_shows() -> None:
    around = driver("check").session.flight.around
    given = (profile_of(straight_in()), volume_of(around))
    drawing = ProfileStrip(*given)
    for place in range(60):
        at = (14.0 - place / 4.0, 4200.0 - place * 70.0, 3000.0 if place < 20 else 1500.0)
        size = (80, 12) if place < 40 else (100, 9)
        assert drawing.lines(*at, *size) == ProfileStrip(*given).lines(*at, *size)


def test_the_published_path_passes_its_fix_at_the_published_altitude() -> None:
    exercise = straight_in()
    profile = profile_of(exercise)
    fix = exercise.approach.final_fix
    altitude_ft = profile.path_altitude_ft(fix.distance_nm)
    assert altitude_ft == pytest.approx(exercise.approach.glide_check_altitude_ft, abs=10.0)


def test_an_aircraft_on_the_path_is_drawn_on_the_path() -> None:
    profile = profile_of(straight_in())
    lines = strip(5.0, profile.path_altitude_ft(5.0))
    row = next(at for at, line in enumerate(lines) if "◆" in line)
    x = lines[row].index("◆")
    beside = lines[row][x - 1]
    assert 0x2800 < ord(beside) <= 0x28FF


def test_an_aircraft_above_the_path_is_drawn_above_it() -> None:
    profile = profile_of(straight_in())
    low = next(at for at, line in enumerate(strip(5.0, 1200.0)) if "◆" in line)
    high = next(at for at, line in enumerate(strip(5.0, profile.path_altitude_ft(5.0) + 800.0))
                if "◆" in line)  # fmt: skip
    assert high < low


def test_the_strip_shows_fixes_runway_and_distances() -> None:
    axis = strip(10.0, 3000.0)[-1]
    assert "KEVUX" in axis
    assert "RWY" in axis
    assert " 4 " in axis


def test_the_signal_volume_is_drawn_only_when_it_is_handed_over() -> None:
    assert "░" not in "".join(strip(10.0, 3000.0))
    assert "░" in "".join(strip(10.0, 3000.0, volume=True))


def test_the_scale_holds_the_aircraft() -> None:
    assert [scale_nm(nm) for nm in (0.5, 5.9, 11.0, 17.0, 29.0, 50.0)] == [6, 12, 12, 18, 30, 30]


@pytest.mark.parametrize(("width", "height"), [(19, 10), (80, 3), (20, 4), (200, 40)])
def test_the_strip_never_breaks_at_any_size(width: int, height: int) -> None:
    profile = profile_of(straight_in())
    for distance_nm in (-2.0, 0.0, 12.0, 80.0):
        lines = ProfileStrip(profile, None).lines(distance_nm, 9000.0, 100.0, width, height)
        assert lines == [] or [len(plain(line)) for line in lines] == [width] * height


def test_where_torque_is_set_by_hand_it_stands_beside_what_is_set() -> None:
    made = view(torque_set_percent=46, power_percent=12, propeller_percent=85, ice_protection="off")
    lines = [plain(line).rstrip() for line in instruments.energy(made, 33)[-3:]]
    assert lines == [
        " NP     85 %  reverse off",
        f" ICE   off          GS {made.ground_speed_kt:.0f}",
        " TRQ    12 %  set 46 …",
    ]
    iced = replace(made, is_icing=True, ice_protection="on", propeller_percent=100)
    lines = [plain(line).rstrip() for line in instruments.energy(iced, 26)]
    assert f" ICE   on  DETECTED GS {made.ground_speed_kt:.0f}" in lines
    assert max(len(line) for line in lines) <= 26
