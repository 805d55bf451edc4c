"""What a proof costs in whole flights: `pytest -m long -s`."""

from __future__ import annotations

import os
from statistics import fmean

import pytest

from tests.benchmarks.ratios import show
from trainer.proof.forks import CAN_FORK, Forks
from trainer.proof.prove import fly_perfect, prove
from trainer.scenario.book import book_of
from trainer.scenario.compose import load
from trainer.scenario.library import default_library

pytestmark = pytest.mark.long

JOBS = 2
YARDSTICK_FLIGHTS = 10
LIMIT = 0.8
"""Processor time of a proof in parts of what it would cost if every crew and every mutant, those of
words as well, were flown whole."""


def all_processes_s() -> float:
    """Processor time of this process and of its ended children, s."""
    return sum(os.times()[:4])


@pytest.mark.skipif(not CAN_FORK, reason="this platform does not copy a running process")
def test_a_proof_costs_less_than_the_flights_it_announces() -> None:
    exercise = load("straight-in", default_library())
    book = book_of(exercise)

    def fly() -> None:
        fly_perfect(exercise, book)

    def flight_s() -> float:
        """Processor time of a flight flown whole, as in a proof beside another one, s."""
        begun = all_processes_s()
        with Forks(JOBS, lambda place: None) as forks:
            for place in range(YARDSTICK_FLIGHTS):
                forks.start(place, fly)
            forks.finish()
        return (all_processes_s() - begun) / YARDSTICK_FLIGHTS

    fly()  # what is made once is there before anything is measured
    before_s = flight_s()
    begun = all_processes_s()
    proof = prove(exercise, jobs=JOBS)
    spent = all_processes_s() - begun
    whole = (1 + proof.plan.pieces) * fmean((before_s, flight_s()))
    show("a proof in whole flights", f"{spent:.0f} / {whole:.0f} s = {spent / whole:.2f}", "0.8")
    assert proof.is_proven
    assert spent <= LIMIT * whole
