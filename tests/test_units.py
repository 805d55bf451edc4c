"""Time is a whole number of steps of a tenth of a second, and durations round up."""

from __future__ import annotations

import pytest

from trainer.units import STEP_S, STEPS_PER_S, steps_for


def test_a_step_is_a_tenth_of_a_second() -> None:
    assert STEP_S * STEPS_PER_S == 1.0


@pytest.mark.parametrize(
    ("duration_s", "steps"),
    [(0.0, 0), (0.1, 1), (0.3, 3), (0.7, 7), (1.01, 11), (2.0, 20), (2.05, 21), (2700.0, 27000)],
)
def test_a_duration_is_never_shorter_in_steps_than_it_was_written(
    duration_s: float, steps: int
) -> None:
    assert steps_for(duration_s) == steps


def test_a_whole_number_of_tenths_is_itself_whatever_the_float_holds() -> None:
    assert [steps_for(tenths / 10) for tenths in range(27001)] == list(range(27001))
