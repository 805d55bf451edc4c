"""The table of keys: one meaning a key, every control reachable, nothing on Escape."""

from __future__ import annotations

from trainer.app.keymap import DEFAULT, ROWS
from trainer.scenario.controls import CONTROLS


def test_every_control_can_be_reached_by_its_default_key() -> None:
    for control in CONTROLS.values():
        binding = DEFAULT.bindings[control.key]
        assert control.name in (binding.button, binding.selector, binding.lever)


def test_no_two_rows_share_a_key_except_a_button_and_its_selector() -> None:
    seen: dict[str, list[str]] = {}
    for row in ROWS:
        kind = "button" if row.button else "selector" if row.selector else "other"
        seen.setdefault(row.key, []).append(kind)
    for kinds in seen.values():
        assert kinds in (["button"], ["selector"], ["other"], ["button", "selector"])


def test_digits_and_the_signs_of_numbers_are_no_keys_of_their_own() -> None:
    assert not set("0123456789.-") & set(DEFAULT.bindings)


def test_nothing_is_bound_to_escape_or_to_keys_that_terminals_do_not_send() -> None:
    for key in DEFAULT.bindings:
        assert len(key) == 1 or key in ("space", "enter", "backspace", "f2", "f3", "f4", "f10")


def test_going_around_is_one_printable_key() -> None:
    assert DEFAULT.bindings["G"].button == "go-around"


def test_every_row_has_a_name_and_a_help_and_is_listed_once() -> None:
    table = DEFAULT.table()
    assert len(table) == len(ROWS)
    assert all(key and name and text for key, name, text in table)
    assert len({name for _, name, _ in table}) == len(table)


def test_a_selector_is_listed_with_a_number_before_its_key() -> None:
    assert ("143h", "heading", "heading selector") in DEFAULT.table()
