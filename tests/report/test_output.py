"""An export is written whole or not at all, and never over something by accident."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from trainer.report.output import OutputError, write_output


def test_a_new_file_is_written_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    write_output(tmp_path / "out.csv", "a\r\nbé\n")
    assert (tmp_path / "out.csv").read_bytes() == b"a\r\nb\xc3\xa9\n"
    assert os.listdir(tmp_path) == ["out.csv"]


def test_an_existing_file_is_kept_unless_forced(tmp_path: Path) -> None:
    path = tmp_path / "out.md"
    path.write_text("mine")
    with pytest.raises(OutputError, match="exists already; --force"):
        write_output(path, "new")
    assert path.read_text() == "mine"
    write_output(path, "new", is_forced=True)
    assert path.read_text() == "new"
    assert os.listdir(tmp_path) == ["out.md"]


def test_a_link_that_leads_nowhere_counts_as_existing(tmp_path: Path) -> None:
    path = tmp_path / "out.md"
    path.symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OutputError, match="exists already"):
        write_output(path, "new")
    assert not (tmp_path / "elsewhere").exists()


def test_a_folder_that_does_not_exist_is_a_users_mistake(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="not written"):
        write_output(tmp_path / "none" / "out.md", "new")


def test_a_folder_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    with pytest.raises(OutputError, match="is a folder"):
        write_output(tmp_path / "out", "new", is_forced=True)
    assert (tmp_path / "out").is_dir()


def test_a_write_that_fails_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "out.md"
    path.write_text("mine")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left"):
        write_output(path, "new", is_forced=True)
    assert path.read_text() == "mine"
    assert os.listdir(tmp_path) == ["out.md"]


def test_two_that_write_the_same_new_name_do_not_lose_the_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "out.md"
    real = os.fsync

    def somebody_is_faster(handle: int) -> None:
        real(handle)
        path.write_text("theirs")

    monkeypatch.setattr(os, "fsync", somebody_is_faster)
    with pytest.raises(OutputError, match="exists already"):
        write_output(path, "mine")
    assert path.read_text() == "theirs"


def test_the_file_has_the_usual_rights(tmp_path: Path) -> None:
    write_output(tmp_path / "out.md", "new")
    usual = tmp_path / "usual"
    usual.write_text("")
    assert (tmp_path / "out.md").stat().st_mode == usual.stat().st_mode


def test_control_characters_of_a_name_do_not_reach_the_terminal(tmp_path: Path) -> None:
    with pytest.raises(OutputError) as caught:
        write_output(tmp_path / "none" / "\x1b[31m", "new")
    assert "\x1b" not in str(caught.value)
