"""Whatever sends on the tuned frequency is received: its needle, its ident, its own ranging."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.crew.crews import exercise
from trainer.flight.radios import Radios
from trainer.flight.surroundings import Surroundings, surroundings_of
from trainer.guidance.modes import Selectors
from trainer.scenario.exercise import Fault
from trainer.units import DEG, FT, NM

COURSE_DEG = 140.0


@pytest.fixture(scope="module")
def around() -> Surroundings:
    return surroundings_of(exercise("straight-in"))


def place(before_nm: float, right_m: float = 0.0) -> tuple[float, float]:
    """A point before the threshold of runway 14, right of its course."""
    course, back_m = COURSE_DEG * DEG, before_nm * NM
    return (
        -back_m * math.sin(course) + right_m * math.cos(course),
        -back_m * math.cos(course) - right_m * math.sin(course),
    )


def selected(course_deg: float = COURSE_DEG) -> Selectors:
    """The selectors with a course."""
    return Selectors(200.0, 0.0, 3000.0, 0.0, course_deg, "", 1013.25, 0.0, 0.0)


def listen(
    around: Surroundings,
    frequency: str,
    before_nm: float = 10.0,
    right_m: float = 0.0,
    height_ft: float = 3000.0,
    course_deg: float = COURSE_DEG,
    fault: Fault | None = None,
) -> tuple[Radios, str]:
    """What is received at one point, and the ident heard there."""
    radios = Radios(around)
    radios.tune(frequency)
    if fault is not None:
        radios.fail(fault, 0)
    radios.receive(0, *place(before_nm, right_m), height_ft * FT, selected(course_deg))
    return radios, radios.identify(0)


def test_the_approachs_own_station_gives_needle_ident_and_ranging(around: Surroundings) -> None:
    got, ident = listen(around, "110.35")
    assert (got.localizer.state, got.glide.state, got.vor.state) == ("covered", "received", "none")
    assert ident == "IMRW"
    assert got.localizer.dots == pytest.approx(0.0, abs=0.01)


def test_a_frequency_on_which_nobody_sends_is_silence(around: Surroundings) -> None:
    got, ident = listen(around, "110.30")
    assert (got.localizer.state, got.glide.state, got.dme_nm, ident) == ("none", "none", None, "")


def test_the_neighbours_frequency_gives_the_neighbours_needle_and_ident(
    around: Surroundings,
) -> None:
    got, ident = listen(around, "111.35", right_m=500.0)
    assert ident == "IPEL"
    # On runway 14's centre line the strip of Pellow Cay, 4 NM to the right, is far to the right.
    assert got.localizer.state == "covered"
    assert got.localizer.dots < -1.5
    mine, _ = listen(around, "110.35", right_m=500.0)
    assert mine.localizer.dots > 0.5


def test_each_ranging_station_has_its_own_zero(around: Surroundings) -> None:
    # Over runway 14's threshold: its own DME reads zero there; the other end's counts from 2700 m
    # further on (1.46 NM), the VOR's from its mast 0.96 NM away (0.75 NM beyond, 0.6 NM left).
    for frequency, reading_nm in (("110.35", 0.0), ("109.55", 1.46), ("113.40", 0.96)):
        got, _ = listen(around, frequency, before_nm=0.0, height_ft=50.0)
        assert got.dme_nm == pytest.approx(reading_nm, abs=0.01)


def test_the_other_ends_localizer_is_received_backwards_with_the_needle_reversed(
    around: Surroundings,
) -> None:
    right, ident = listen(around, "109.55", right_m=300.0)
    assert ident == "IMRE"
    assert right.localizer.is_usable
    assert right.localizer.dots < 0.0
    assert not right.glide.is_usable


def test_a_vor_shows_the_side_of_the_selected_course(around: Surroundings) -> None:
    got, ident = listen(around, "113.40", course_deg=140.0)
    assert (got.vor.state, got.localizer.state, ident) == ("covered", "none", "MRW")
    # The mast stands left of the centre line, so the aircraft is right of the radial into it.
    assert got.vor.dots == pytest.approx(2.0 * math.atan(0.6 / 10.75) / (10.0 * DEG), abs=0.02)
    turned, _ = listen(around, "113.40", course_deg=135.0)
    assert turned.vor.dots == pytest.approx(got.vor.dots - 1.0, abs=0.02)


def test_in_maintenance_the_needle_moves_and_no_ident_is_sent(around: Surroundings) -> None:
    got, ident = listen(around, "110.35", fault=Fault("localizer", "maintenance", 0.0))
    assert got.localizer.is_usable
    assert ident == ""


@pytest.mark.parametrize(("becomes", "state"), [("flagged", "flagged"), ("off", "none")])
def test_a_failed_signal_is_flagged_or_gone(around: Surroundings, becomes: str, state: str) -> None:
    got, ident = listen(around, "110.35", fault=Fault("localizer", becomes, 0.0))
    assert (got.localizer.state, ident) == (state, "")
    assert got.glide.is_usable


def test_a_failure_of_the_approachs_signal_is_not_one_of_the_neighbours(
    around: Surroundings,
) -> None:
    got, ident = listen(around, "111.35", fault=Fault("localizer", "flagged", 0.0))
    assert (got.localizer.state, ident) == ("covered", "IPEL")


def test_tuning_forgets_what_was_identified(around: Surroundings) -> None:
    radios = Radios(around)
    radios.tune("110.35")
    radios.receive(0, *place(10.0), 900.0, selected())
    assert radios.identify(0) == "IMRW"
    radios.tune("111.35")
    assert radios.identified == ""


class Listener:
    """A receiver of one kind on the final course, 10 NM out, heard from `begin_s` on."""

    def __init__(self, around: Surroundings, kind: str, begin_s: float = 1.0) -> None:
        self.radios = Radios(around, kind)
        self.step = round(begin_s * 10.0)
        self.radios.tune("110.35")

    def shown_until(self, until_s: float) -> dict[float, str]:
        """When the letters changed, and to what, up to a time."""
        found: dict[float, str] = {}
        before = self.radios.identified
        while self.step <= round(until_s * 10.0):
            self.radios.receive(self.step, *place(10.0), 900.0, selected())
            if self.radios.identified != before:
                before = self.radios.identified
                found[self.step / 10.0] = before
            self.step += 1
        return found


def test_a_decoder_shows_the_letters_when_a_whole_ident_has_been_sent(around: Surroundings) -> None:
    # Tuned at 1.0 s, in the middle of one: the next begins at 7.5 s. IMRW (.. -- .-. .--) lasts
    # 3 + 7 + 7 + 9 units and 3 gaps of 3, 35 units of 0.125 s (ITU-R M.1677-1): 4.375 s.
    assert Listener(around, "decoded").shown_until(30.0) == {11.9: "IMRW"}


def test_by_ear_nothing_is_identified_without_a_press(around: Surroundings) -> None:
    one = Listener(around, "audio")
    assert one.shown_until(60.0) == {}
    assert one.radios.identify(one.step) == "IMRW"


def test_where_both_ways_are_fitted_the_letters_wait_for_a_press(around: Surroundings) -> None:
    one = Listener(around, "audio or decoded")
    assert one.shown_until(60.0) == {}
    assert one.radios.identify(one.step) == "IMRW"
    one.radios.tune("110.35")
    assert one.shown_until(120.0) == {}


@pytest.mark.parametrize(
    ("kind", "shown"), [("audio", {}), ("audio or decoded", {28.4: ""}), ("decoded", {28.4: ""})]
)
def test_a_decoded_ident_goes_out_with_its_station_and_a_heard_one_stays(
    around: Surroundings, kind: str, shown: dict[float, str]
) -> None:
    one = Listener(around, kind)
    one.shown_until(20.0)
    one.radios.identify(one.step)
    one.shown_until(20.9)
    one.radios.fail(Fault("localizer", "maintenance", 0.0), one.step)
    assert one.shown_until(60.0) == shown


@pytest.mark.parametrize(
    ("transmission", "state", "heard"),
    [("normal", "covered", "IMRW"), ("maintenance", "covered", ""), ("failed", "none", "")],
)
def test_a_station_is_as_its_file_says(transmission: str, state: str, heard: str) -> None:
    drill = exercise("straight-in")
    approach = drill.approach
    localizer = replace(approach.localizer, transmission=transmission)
    changed = surroundings_of(replace(drill, approach=replace(approach, localizer=localizer)))
    got, ident = listen(changed, "110.35")
    assert (got.localizer.state, ident) == (state, heard)


def test_a_bent_localizer_wanders_for_its_time_and_is_heard_all_the_while(
    around: Surroundings,
) -> None:
    radios = Radios(around)
    radios.tune("110.35")
    radios.fail(Fault("localizer", "bent", 60.0), 100)
    needle = []
    for step in range(90, 710):
        radios.receive(step, *place(6.0), 600.0, selected())
        needle.append(radios.localizer.dots)
    straight = needle[0]
    # Half a dot at most, both ways, and nothing before and after.
    assert 0.4 < max(needle) - straight <= 0.5
    assert 0.4 < straight - min(needle) <= 0.5
    assert needle[:10] == needle[-10:] == [straight] * 10
    # What an autopilot follows moves with the needle.
    radios.receive(430, *place(6.0), 600.0, selected())
    assert radios.localizer.offset_m * radios.localizer.dots > 0.0
    assert radios.identify(430) == "IMRW"


def test_without_both_receivers_everything_is_flagged(around: Surroundings) -> None:
    for frequency in ("110.35", "113.40"):
        radios = Radios(around)
        radios.tune(frequency)
        for number in (1, 2):
            radios.fail(Fault("", "failed", 0.0, system=f"receiver {number}"), 0)
        radios.receive(0, *place(10.0), 900.0, selected())
        assert not any(one.is_usable for one in (radios.localizer, radios.glide, radios.vor))
        assert radios.identify(0) == ""
