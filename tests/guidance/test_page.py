from __future__ import annotations

from pathlib import Path

from tests.guidance.page import PAGE, option_rows, page, types
from trainer.guidance.tables import TABLES

TESTS = Path(__file__).parents[1]


def test_the_page_of_modes_is_made_of_the_tables() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python -m tests.guidance.page"


def test_every_row_of_every_table_is_on_the_page() -> None:
    text = page()
    for table in TABLES.values():
        for rule in table.rules:
            assert f"| {rule.trigger} | {', '.join(rule.sources)} | {rule.dest} |" in text


def test_every_option_names_a_test_that_exists() -> None:
    for option in option_rows(types()):
        file, name = option.test.split(": ")
        text = (TESTS / file).read_text(encoding="utf-8")
        assert f"def test_{name}(" in text, option.name


def test_no_two_types_have_the_same_options() -> None:
    kinds = types()
    columns = list(zip(*(row.values for row in option_rows(kinds)), strict=True))
    for first in range(len(kinds)):
        for second in range(first):
            different = sum(a != b for a, b in zip(columns[first], columns[second], strict=True))
            assert different >= 4, (kinds[first].name, kinds[second].name)
