"""An exercise composed in a fork is the one that would have been composed here, or none."""

from __future__ import annotations

import os

import pytest

from tests.crew.crews import exercise
from trainer.app.ahead import Ahead
from trainer.app.launch import Start, seeded
from trainer.app.local import LocalServices
from trainer.errors import UserError
from trainer.records.store import Records

can_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="a platform that cannot fork")


@pytest.fixture(autouse=True)
def free_core(monkeypatch: pytest.MonkeyPatch) -> None:
    if hasattr(os, "getloadavg"):
        monkeypatch.setattr(os, "getloadavg", lambda: (0.0, 0.0, 0.0))


@pytest.fixture
def services() -> LocalServices:
    return LocalServices(Records(None))


@can_fork
@pytest.mark.parametrize("seed", [0, 7])
@pytest.mark.parametrize("name", ["straight-in", "turboprop-ice", "downgrade"])
def test_what_comes_from_the_fork_is_what_would_be_composed_here(name: str, seed: int) -> None:
    ahead = Ahead(name, seed)
    found = ahead.take()
    assert found == exercise(name, seed)
    assert found is not None
    assert (found.digest, found.canonical) == (
        exercise(name, seed).digest,
        exercise(name, seed).canonical,
    )
    assert ahead.take() is None
    with pytest.raises(ProcessLookupError):
        os.kill(ahead._child, 0)  # nobody is left behind


@can_fork
def test_a_flight_takes_what_came_from_the_fork_once(services: LocalServices) -> None:
    start = Start("straight-in", "check", 5)
    services.look_at(start, Ahead("straight-in", 5))
    assert "_library" not in services.__dict__  # no file was looked for here
    assert services.exercise("straight-in", 5) == exercise("straight-in", 5)
    assert "_library" not in services.__dict__
    assert services.exercise("straight-in", 5) == exercise("straight-in", 5)
    assert "_library" in services.__dict__


def test_a_mistake_is_told_by_who_composes_it_again(services: LocalServices) -> None:
    ahead = Ahead("straight-inn", 0)
    with pytest.raises(UserError, match='did you mean "straight-in"'):
        services.look_at(Start("straight-inn", "check", 0), ahead)
    assert ahead.take() is None


def test_where_nothing_can_be_forked_it_is_composed_here(
    services: LocalServices, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delattr(os, "fork", raising=False)
    ahead = Ahead("straight-in", 3)
    assert ahead.take() is None
    services.look_at(Start("straight-in", "check", 3), ahead)
    assert services.exercise("straight-in", 3) == exercise("straight-in", 3)


@can_fork
def test_nothing_is_forked_where_every_core_is_busy(monkeypatch: pytest.MonkeyPatch) -> None:
    cores = float(os.cpu_count() or 1)
    monkeypatch.setattr(os, "getloadavg", lambda: (cores, cores, cores))
    assert Ahead("straight-in", 0).take() is None
    monkeypatch.setattr(os, "getloadavg", lambda: (cores - 0.5, cores, cores))
    assert Ahead("straight-in", 0).take() is not None


def test_a_moment_that_does_not_exist_is_still_told(services: LocalServices) -> None:
    start = Start("straight-in", "coached", 0, from_moment="sunset")
    with pytest.raises(UserError, match="sunset"):
        services.look_at(start, Ahead("straight-in", 0))


def test_only_a_check_without_a_seed_gets_one_that_nobody_knows() -> None:
    assert seeded(Start("straight-in", "coached")).seed == 0
    assert seeded(Start("straight-in", "check", 0)).seed == 0
    found = {seeded(Start("straight-in", "check")).seed for _ in range(20)}
    assert len(found) > 1
    assert all(one is not None and one > 0 for one in found)
