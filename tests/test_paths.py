"""Where things live, beside a checkout and in an installed wheel."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer import paths


def test_the_built_in_scenarios_stand_beside_a_checkout() -> None:
    assert (paths.built_in_scenarios() / "airports").is_dir()


def test_scenarios_inside_the_package_come_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "trainer"
    (package / "scenarios").mkdir(parents=True)
    (tmp_path / "scenarios").mkdir()
    monkeypatch.setattr(paths, "__file__", str(package / "paths.py"))
    assert paths.built_in_scenarios() == package / "scenarios"


def test_a_broken_installation_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(paths, "__file__", str(tmp_path / "trainer" / "paths.py"))
    with pytest.raises(RuntimeError, match="missing"):
        paths.built_in_scenarios()


def test_the_users_own_scenarios_are_searched_first() -> None:
    assert paths.scenario_roots() == (paths.user_scenarios(), paths.built_in_scenarios())


def test_naming_a_folder_does_not_create_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    for place in (paths.user_scenarios(), paths.records_file(), paths.configuration_file()):
        assert place.is_absolute()
    assert list(tmp_path.iterdir()) == []
