"""Presses, signals, faults and moments in any order, a hundred thousand of them.

Whatever comes, each axis is in a state of its table, and what is shown is what controls: the
command follows the quantity of the mode that is shown, and of no other.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from hypothesis.stateful import run_state_machine_as_test as run

from tests.guidance.rig import COURSE_DEG, Rig, along, modes
from tests.guidance.table_check import EXCLUSIVE
from tests.guidance.test_any_order import KINDS, check, follow
from tests.guidance.test_coded_path import CODING, ROUTE
from trainer.guidance.commands import CLIMB_POWER
from trainer.guidance.conditions import CONDITIONS
from trainer.guidance.modes import CODED, RECEIVED, WITH_PATH, Command
from trainer.guidance.presses import ALWAYS, GUIDED
from trainer.guidance.radial import is_vor_received
from trainer.guidance.tables import TABLES, states
from trainer.units import DEG, FPM, FT, steps_for
from trainer.world.vor import VorStation

SIGNALS = ("none", "flagged", "received", "covered")
SERVICES = ("LPV", "LNAV/VNAV", "LNAV", "")
SYSTEMS = ("autopilot 1", "autopilot 2", "receiver 1", "receiver 2", "course 2")
TURNS: dict[str, tuple[float, ...]] = {
    "heading": (0.0, 53.0, COURSE_DEG, 233.0),
    "altitude": (1000.0, 2500.0, 3000.0, 5000.0, 9000.0),
    "vertical speed": (-1500.0, -500.0, 0.0, 800.0),
    "speed": (90.0, 137.0, 180.0, 250.0),
    "course": (COURSE_DEG, COURSE_DEG + 20.0, COURSE_DEG + 180.0),
    "frequency": (110.35, 113.4),
    "direct to": (1.0, 2.0, 3.0, 4.0),
}
PLACES = (
    (35.0, -3000.0, 7000.0),
    (15.0, 0.0, 4000.0),
    (9.0, 300.0, 3000.0),
    (4.0, 0.0, 1300.0),
    (0.9, 0.0, 330.0),
    (0.1, 0.0, 60.0),
)


class Walk(RuleBasedStateMachine):
    """One aircraft in the hands of somebody who presses everything."""

    steps = 0
    """Rules taken by all walks."""

    rig: Rig

    @initialize(
        kind=st.sampled_from(KINDS),
        engagement=st.sampled_from(["OFF", "FD", "AP"]),
        place=st.sampled_from(PLACES),
        is_rnp=st.booleans(),
    )
    def begin(
        self, kind: object, engagement: str, place: tuple[float, float, float], is_rnp: bool
    ) -> None:
        """Begin anywhere in heading, on an approach by stations or with an RNP final."""
        assert isinstance(kind, type(KINDS[0]))
        distance_nm, offset_m, altitude_ft = place
        self.rig = Rig(
            kind,
            modes("HDG", "VS" if engagement == "OFF" else "ALT", engagement=engagement),
            distance_nm=distance_nm,
            offset_m=offset_m,
            altitude_ft=altitude_ft,
            cas_kt=150.0,
            flap=1,
            route=ROUTE,
            coding=CODING,
        )
        self.is_rnp = is_rnp
        self.have_service("LPV")

    @rule(service=st.sampled_from(SERVICES))
    def have_service(self, service: str) -> None:
        """The level of service of an RNP final changes; none is a position without integrity."""
        if self.is_rnp:
            self.rig.track = "received" if service else "flagged"
            self.rig.service = service

    @rule(control=st.sampled_from([*GUIDED, *ALWAYS]))
    def press(self, control: str) -> None:
        """Press a button."""
        before = self.rig.modes
        follow(before, self.rig.press(control), self.rig.modes)

    @rule(name=st.sampled_from(list(TURNS)), pick=st.integers(0, 9))
    def turn(self, name: str, pick: int) -> None:
        """Turn a selector."""
        before, values = self.rig.modes, TURNS[name]
        follow(before, self.rig.select(name, values[pick % len(values)]), self.rig.modes)

    @rule(above_ft=st.sampled_from([-300.0, -60.0, 60.0, 300.0]))
    def turn_to_an_altitude_near(self, above_ft: float) -> None:
        """Select an altitude that is reached soon, or was just left."""
        before = self.rig.modes
        follow(before, self.rig.select("altitude", self.rig.altitude_ft + above_ft), self.rig.modes)

    @rule(name=st.sampled_from(["localizer", "glide"]), state=st.sampled_from(SIGNALS))
    def signal(self, name: str, state: str) -> None:
        """A signal comes or goes."""
        setattr(self.rig, name, state)

    @rule(is_sending=st.booleans())
    def vor(self, is_sending: bool) -> None:
        """A VOR at the threshold sends, or not."""
        self.rig.vor = VorStation(*along(0.0)) if is_sending else None

    @rule(system=st.sampled_from(SYSTEMS))
    def fault(self, system: str) -> None:
        """A system fails."""
        self.rig.fail(system)

    @rule(seconds=st.floats(0.1, 5.0))
    def fly(self, seconds: float) -> None:
        """Time passes; a climb or go-around captures what lies above, a descent what lies below."""
        core = self.rig.guidance._core
        for _ in range(round(seconds * 10.0)):
            mode, altitude_ft = core.vertical.state, self.rig.altitude_ft
            self.rig.fly(0.1)
            if core.vertical.state == "ALT CAP" and mode != "ALT CAP":
                above_ft = core.captured_altitude_ft - altitude_ft
                assert above_ft > 0.0 or mode not in ("CLIMB", "GA")
                assert above_ft < 0.0 or mode not in ("DESCEND", CODED)

    @rule(place=st.sampled_from(PLACES), track_deg=st.sampled_from([0.0, 30.0, -30.0, 90.0]))
    def be_elsewhere(self, place: tuple[float, float, float], track_deg: float) -> None:
        """Minutes later, somewhere else."""
        distance_nm, offset_m, altitude_ft = place
        x_m, y_m = along(distance_nm, offset_m)
        rig = self.rig
        rig.is_on_ground = False
        rig.state = rig.state._replace(
            x_m=x_m,
            y_m=y_m,
            height_m=altitude_ft * FT,
            heading_rad=(COURSE_DEG + track_deg) * DEG % (2.0 * math.pi),
            climb_ms=0.0 if rig.state.climb_ms == 0.0 else rig.state.climb_ms,
        )

    @invariant()
    def shows_only_what_its_tables_have(self) -> None:
        """Every axis in a state of its table, every word one of the annunciator."""
        Walk.steps += 1
        if not hasattr(self, "rig"):
            return
        core = self.rig.guidance._core
        for name, table in TABLES.items():
            assert getattr(core, name.replace(" ", "_")).state in states(table)
        check(self.rig.modes, is_path_coded=core.vertical.state == CODED)
        if core.vertical.state == CODED and not self.rig.is_on_ground:
            assert core.lateral.state in ("NAV", "LOC")
        if self.is_rnp:
            self.shows_what_leads_to_an_rnp_final()
        few = self.rig.kind.guidance.autopilot_modes
        if few and core.engagement.state == "AP":
            assert core.lateral.state in few
            assert core.vertical.state in few
        if self.rig.modes.engagement == "AP BOTH":
            assert core.is_approach or core.vertical.state == "GA"

    def shows_what_leads_to_an_rnp_final(self) -> None:
        """PATH only behind NAV, NAV and its path never for longer than the hold without service."""
        shown, core = self.rig.modes, self.rig.guidance._core
        assert not {"GLIDE", "FLARE"} & {shown.vertical, *shown.vertical_armed}
        assert shown.capability in ("", *SERVICES)
        if core.is_approach and not self.rig.is_on_ground:
            assert "NAV" in (shown.lateral, *shown.lateral_armed)
        hold_steps = steps_for(self.rig.kind.guidance.signal_hold_s)
        assert core.track_lost_steps <= hold_steps
        assert core.path_lost_steps <= hold_steps

    @invariant()
    def conditions_that_exclude_one_another_never_hold_together(self) -> None:
        """The pairs that the check of the tables relies on."""
        if not hasattr(self, "rig"):
            return
        core, sensed = self.rig.guidance._core, self.rig.sensed()
        now = core.situation(sensed, self.rig.selectors)
        for one, other in EXCLUSIVE:
            assert not (CONDITIONS[one].test(now) and CONDITIONS[other].test(now)), (one, other)

    @invariant()
    def what_is_shown_controls(self) -> None:
        """The command follows the quantity of the mode shown."""
        if hasattr(self, "rig") and not self.rig.is_on_ground:
            lateral_controls(self.rig)
            vertical_controls(self.rig)
            thrust_controls(self.rig)


def commanded(rig: Rig, **changed: float) -> Command:
    """The command where the sensed values are different; nothing of the guidance changes."""
    core = rig.guidance._core
    index = core.legs.active
    command = rig.guidance.command(replace(rig.sensed(), **changed), rig.selectors)  # type: ignore[arg-type]
    core.legs.active = index
    return command


def _steers(rig: Rig, low: dict[str, float], high: dict[str, float]) -> None:
    banks = (commanded(rig, **low).bank_rad, commanded(rig, **high).bank_rad)
    assert banks[0] * banks[1] < 0.0, (rig.modes.lateral, banks)


def lateral_controls(rig: Rig) -> None:
    """Left of what the mode follows it banks right, right of it left."""
    core, sensed = rig.guidance._core, rig.sensed()
    lateral, course_rad = rig.modes.lateral, rig.selectors.course_deg * DEG
    if lateral == "HDG":
        held = core.held_heading_rad
        target = rig.selectors.heading_deg * DEG if held is None else held
        _steers(rig, {"heading_rad": target - 0.2}, {"heading_rad": target + 0.2})
    elif lateral == "GA":
        target = core.held_track_rad
        _steers(rig, {"track_rad": target - 0.2}, {"track_rad": target + 0.2})
    elif lateral == "NAV" and sensed.track_state == "flagged":
        assert rig.guidance.command(sensed, rig.selectors).bank_rad == 0.0
    elif lateral == "NAV":
        index = core.legs.active
        leg = core.legs.view(sensed)
        core.legs.active = index
        right = {
            "x_m": sensed.x_m + (400.0 - leg.cross_track_m) * math.cos(leg.course_rad),
            "y_m": sensed.y_m - (400.0 - leg.cross_track_m) * math.sin(leg.course_rad),
            "track_rad": leg.course_rad,
        }
        left = {
            "x_m": sensed.x_m - (400.0 + leg.cross_track_m) * math.cos(leg.course_rad),
            "y_m": sensed.y_m + (400.0 + leg.cross_track_m) * math.sin(leg.course_rad),
            "track_rad": leg.course_rad,
        }
        _steers(rig, left, right)
    elif lateral == "VOR" and is_vor_received(sensed):
        _steers(
            rig,
            {"vor_offset_m": -400.0, "track_rad": course_rad},
            {"vor_offset_m": 400.0, "track_rad": course_rad},
        )
    elif lateral in ("LOC", "ALIGN") and sensed.localizer_state in RECEIVED:
        _steers(
            rig,
            {"localizer_offset_m": -400.0, "track_rad": course_rad},
            {"localizer_offset_m": 400.0, "track_rad": course_rad},
        )
    else:
        assert lateral in ("VOR", "LOC", "ALIGN", "ROLLOUT")


def vertical_controls(rig: Rig) -> None:
    """Above what the mode holds it sinks, below it climbs; a rate is a rate."""
    core, sensed = rig.guidance._core, rig.sensed()
    state = core.vertical.state
    if state in ("ALT", "ALT CAP"):
        target = core.held_altitude_ft if state == "ALT" else core.captured_altitude_ft
        if target is None:
            return
        assert commanded(rig, altitude_ft=target + 200.0).climb_ms < 0.0
        assert commanded(rig, altitude_ft=target - 200.0).climb_ms > 0.0
    elif state == "VS":
        held = core.held_climb_ms
        wanted = rig.selectors.vertical_speed_fpm * FPM if held is None else held
        assert rig.guidance.command(sensed, rig.selectors).climb_ms == wanted
    elif state in ("CLIMB", "DESCEND", "GA"):
        fast = commanded(rig, cas_kt=sensed.cas_kt + 60.0).climb_ms
        slow = commanded(rig, cas_kt=sensed.cas_kt - 60.0).climb_ms
        assert fast >= slow
        assert state != "CLIMB" or slow >= 0.0
        assert state != "DESCEND" or fast <= 0.0
    elif state == CODED:
        path = core.legs.path(sensed)
        assert path is not None
        path_ft = sensed.altitude_ft - path.error_m / FT
        _sinks(rig, altitude_ft=(path_ft - 50.0, path_ft + 50.0))
    elif state == "PATH" and (not sensed.is_rnp or sensed.service in WITH_PATH):
        _sinks(rig, path_error_m=(-50.0, 50.0))
    elif state == "GLIDE" and sensed.glide_state in RECEIVED:
        _sinks(rig, glide_error_m=(-50.0, 50.0))
    else:
        assert state in ("GLIDE", "FLARE", "PATH")


def _sinks(rig: Rig, **between: tuple[float, float]) -> None:
    ((name, (low, high)),) = between.items()
    assert commanded(rig, **{name: high}).climb_ms < commanded(rig, **{name: low}).climb_ms


def thrust_controls(rig: Rig) -> None:
    """Fixed thrust is fixed, speed is held with power, no autothrust leaves power alone."""
    sensed = rig.sensed()
    power = rig.guidance.command(sensed, rig.selectors).power
    match rig.modes.thrust:
        case "IDLE":
            assert power == 0.0
        case "CLIMB":
            assert power == CLIMB_POWER
        case "OFF":
            assert power == sensed.power
        case "SPEED":
            slow = commanded(rig, cas_kt=sensed.cas_kt - 40.0).power
            fast = commanded(rig, cas_kt=sensed.cas_kt + 40.0).power
            assert slow > fast or slow == fast in (0.0, 1.0)


QUIET = settings(
    max_examples=15, stateful_step_count=40, deadline=None, suppress_health_check=list(HealthCheck)
)


def test_a_sample_of_presses_signals_and_faults_in_any_order() -> None:
    run(Walk, settings=QUIET)


@pytest.mark.long
def test_a_hundred_thousand_presses_signals_and_faults_in_any_order() -> None:
    Walk.steps = 0
    run(Walk, settings=settings(QUIET, max_examples=2200, stateful_step_count=50))
    assert Walk.steps >= 100_000
