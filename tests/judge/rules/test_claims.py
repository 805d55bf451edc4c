"""What is said of stations and signals is held against what was received."""

from __future__ import annotations

import pytest

from tests.builders import exercise, row
from trainer.flight.row import Row
from trainer.judge.truth import contradiction
from trainer.scenario.phrases import Call


def said(intent: str, *slots: tuple[str, str], **shown: object) -> str:
    """What contradicts a call made while `shown` was so; "" if nothing does."""
    rows: list[Row] = [row(0, **shown)]
    return contradiction(Call(intent, tuple(slots)), rows, exercise())


@pytest.mark.parametrize(
    ("heard", "wrong"),
    [("IMRW", ""), ("IPEL", "heard was IPEL"), ("", "heard was no ident")],
)
def test_identified_is_true_of_the_approachs_own_ident_only(heard: str, wrong: str) -> None:
    assert said("identified", ("ident", "IMRW"), identified=heard) == wrong


@pytest.mark.parametrize(
    ("dots", "is_true"), [(None, False), (-2.5, False), (-2.4, True), (0.0, True)]
)
def test_a_needle_on_its_stop_is_not_alive(dots: float | None, is_true: bool) -> None:
    # The twin jet's display has its stop at 2.5 dots.
    assert (said("localizer alive", localizer_dots=dots) == "") == is_true
    assert (said("glide alive", glide_dots=dots) == "") == is_true


@pytest.mark.parametrize(
    ("state", "is_true"), [("flagged", True), ("none", True), ("received", False)]
)
def test_a_flag_is_one_only_while_it_is_shown(state: str, is_true: bool) -> None:
    assert (said("localizer flag", localizer=state) == "") == is_true
    assert (said("glide flag", glide=state) == "") == is_true


def test_a_distance_check_names_the_miles_and_feet_that_are_read() -> None:
    read = {"dme_nm": 7.1, "altitude_ft": 2430.0}
    assert said("distance check", ("distance", "7"), ("altitude", "2400"), **read) == ""
    assert said("distance check", ("distance", "6"), ("altitude", "2400"), **read)
    assert said("distance check", ("distance", "7"), ("altitude", "2700"), **read)


def test_without_ranging_the_distance_to_the_threshold_counts() -> None:
    read = {"dme_nm": None, "distance_nm": 7.2, "altitude_ft": 2400.0}
    assert said("distance check", ("distance", "7"), ("altitude", "2400"), **read) == ""
