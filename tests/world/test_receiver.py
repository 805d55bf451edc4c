"""What a receiver believes of a signal that comes and goes."""

from __future__ import annotations

from collections.abc import Callable

from tests.world.aids import glide
from trainer.units import FT, NM
from trainer.world.receiver import HOLD_STEPS, Receiver
from trainer.world.reception import SILENCE, Reception


class Dead:
    """A transmitter that has failed."""

    def receive(self, x_m: float, y_m: float, height_m: float, relief: float = 1.0) -> Reception:
        return SILENCE


def run(receiver: Receiver, place: Callable[[int], float], steps: int) -> list[str]:
    """States of a glide receiver flown along the course at 3 000 ft, one step each."""
    beam = glide()
    return [
        receiver.receive(beam, 0.0, -place(step) * NM, 3000 * FT).state for step in range(steps)
    ]


def test_a_receiver_believes_its_first_signal_at_once() -> None:
    assert run(Receiver(), lambda step: 17.0, 1) == ["received"]
    assert run(Receiver(), lambda step: 19.0, 1) == ["flagged"]


def test_a_new_signal_must_last_a_second() -> None:
    states = run(Receiver(), lambda step: 19.0 if step < 5 else 17.0, 20)
    first = states.index("received")
    assert first == 5 + HOLD_STEPS - 1
    assert set(states[:first]) == {"flagged"}


def test_a_short_loss_is_bridged_and_a_long_one_is_not() -> None:
    short = run(Receiver(), lambda step: 30.0 if 5 <= step < 12 else 15.0, 20)
    assert set(short) == {"received"}
    long = run(Receiver(), lambda step: 30.0 if step >= 5 else 15.0, 20)
    assert long.index("flagged") == 5 + HOLD_STEPS - 1


def test_a_held_signal_is_kept_two_decibels_below_where_it_came_in() -> None:
    # At 3 000 ft the field falls nearly as 1/d²: 2 dB is about 12 % of distance (18.3 → 20.5).
    inbound = run(Receiver(), lambda step: 19.5, 30)
    assert set(inbound) == {"flagged"}
    outbound = run(Receiver(), lambda step: 17.0 if step < 3 else 19.5, 30)
    assert set(outbound) == {"received"}
    far = run(Receiver(), lambda step: 17.0 if step < 3 else 21.5, 30)
    assert far[-1] == "flagged"


def test_while_a_dead_transmitter_is_held_the_last_needle_stays() -> None:
    receiver = Receiver()
    alive = receiver.receive(glide(), 0.0, -9.0 * NM, 3000 * FT)
    held = receiver.receive(Dead(), 0.0, -8.9 * NM, 3000 * FT)
    assert held == alive
    for _ in range(HOLD_STEPS):
        held = receiver.receive(Dead(), 0.0, -8.9 * NM, 3000 * FT)
    assert held.state == "none"


def test_tuning_anew_forgets_the_old_signal() -> None:
    receiver = Receiver()
    assert run(receiver, lambda step: 15.0, 3)[-1] == "received"
    receiver.reset()
    assert run(receiver, lambda step: 30.0, 1) == ["flagged"]


def test_a_reception_is_a_function_of_its_arguments() -> None:
    assert run(Receiver(), lambda step: 19.0 - 0.01 * step, 200) == run(
        Receiver(), lambda step: 19.0 - 0.01 * step, 200
    )
