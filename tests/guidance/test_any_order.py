"""Buttons and selectors in any order: guidance answers all of them and shows only its words."""

from __future__ import annotations

import math
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.guidance.rig import COURSE_DEG, Rig, modes
from tests.guidance.test_presses import BUSINESS, WAITS, type_with
from tests.world.types import piston_single, turboprop, twin_jet
from trainer.guidance.modes import (
    CAPABILITY,
    ENGAGEMENT,
    LATERAL,
    LATERAL_ARMED,
    THRUST,
    VERTICAL,
    VERTICAL_ARMED,
    ModeChange,
    Modes,
    Refusal,
)
from trainer.guidance.presses import ALWAYS, GUIDED
from trainer.units import DEG, FT

KINDS = [
    twin_jet(),
    WAITS,
    BUSINESS,
    turboprop(),
    replace(piston_single(), guidance=type_with(early_arming="refuses", autopilots=0).guidance),
    piston_single().with_autopilot(),
]
SIGNALS = st.sampled_from(["none", "flagged", "received", "covered"])
PRESSES = st.tuples(st.just("press"), st.sampled_from([*GUIDED, *ALWAYS]))
TURNS = st.one_of(
    st.tuples(st.just("heading"), st.floats(0.0, 359.0)),
    st.tuples(st.just("altitude"), st.sampled_from([1000.0, 2500.0, 3000.0, 5000.0])),
    st.tuples(st.just("vertical speed"), st.sampled_from([-1500.0, -500.0, 0.0, 800.0])),
)
EVENTS = st.one_of(
    st.tuples(st.just("localizer"), SIGNALS),
    st.tuples(st.just("glide"), SIGNALS),
    st.tuples(st.just("fly"), st.floats(0.1, 6.0)),
)
MOMENTS = st.lists(st.one_of(PRESSES, PRESSES, TURNS, EVENTS), max_size=25)


def check(shown: Modes, *, is_path_coded: bool = False) -> None:
    """Words of the annunciator only; an approach may be armed on a coded path, not on its own."""
    assert shown.lateral in LATERAL
    assert shown.vertical in VERTICAL
    assert set(shown.lateral_armed) <= set(LATERAL_ARMED)
    assert set(shown.vertical_armed) <= set(VERTICAL_ARMED)
    assert list(shown.lateral_armed) == sorted(set(shown.lateral_armed))
    assert list(shown.vertical_armed) == sorted(set(shown.vertical_armed))
    assert shown.thrust in THRUST
    assert shown.engagement in ENGAGEMENT
    assert shown.capability in CAPABILITY
    assert shown.lateral not in shown.lateral_armed
    assert not {"PATH", "GLIDE"} <= set(shown.vertical_armed)
    if shown.engagement == "OFF":
        assert (shown.lateral_armed, shown.vertical_armed) == ((), ())
    if shown.vertical in ("PATH", "GLIDE") and not is_path_coded:
        assert not set(shown.vertical_armed) & {"PATH", "GLIDE"}


def follow(before: Modes, found: list[ModeChange | Refusal], after: Modes) -> None:
    """The changes reported are the difference of the annunciator, each with a reason."""
    changes = [one for one in found if isinstance(one, ModeChange)]
    assert (before != after) == bool(changes)
    assert all(one.reason for one in found)
    assert all(change.before != change.after for change in changes)
    by_column = {change.column: change.after for change in changes}
    for column, value in by_column.items():
        held = getattr(after, column.replace(" ", "_"))
        assert value == (held if isinstance(held, str) else ", ".join(held))


@settings(max_examples=150, deadline=None)
@given(
    kind=st.sampled_from(KINDS),
    engagement=st.sampled_from(["OFF", "FD", "AP"]),
    height_ft=st.sampled_from([60.0, 300.0, 1300.0, 3000.0]),
    moments=MOMENTS,
)
def test_any_order_of_presses_is_answered_in_the_words_of_the_annunciator(
    kind: object, engagement: str, height_ft: float, moments: list[tuple[str, object]]
) -> None:
    assert isinstance(kind, type(KINDS[0]))
    vertical = "VS" if engagement == "OFF" else "ALT"
    rig = Rig(
        kind,
        modes("HDG", vertical, engagement=engagement),
        distance_nm=(height_ft - 50.0) / 318.4 + 0.3,
        altitude_ft=height_ft,
        heading_deg=COURSE_DEG,
        cas_kt=150.0,
        flap=1,
    )
    for what, value in moments:
        before = rig.modes
        if what == "press":
            follow(before, rig.press(str(value)), rig.modes)
        elif what == "fly":
            assert isinstance(value, float)
            rig.fly(value)
            assert all(map(math.isfinite, rig.command))
            assert abs(rig.command.bank_rad) <= rig.kind.handling.bank_deg * DEG + 1e-9
            assert 0.0 <= rig.command.power <= 1.0
        elif what in ("localizer", "glide"):
            setattr(rig, what, value)
        else:
            assert isinstance(value, float)
            follow(before, rig.select(what, value), rig.modes)
        check(rig.modes)
    assert rig.state.height_m >= -1.0 * FT


@settings(max_examples=30, deadline=None)
@given(moments=st.lists(PRESSES, min_size=1, max_size=12))
def test_the_same_presses_are_always_answered_the_same_way(moments: list[tuple[str, str]]) -> None:
    first, second = Rig(distance_nm=10.0), Rig(distance_nm=10.0)
    for _, control in moments:
        assert first.press(control) == second.press(control)
        assert first.fly(1.0) == second.fly(1.0)
    assert first.modes == second.modes
