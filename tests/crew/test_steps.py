"""The page of why each step is what the program flies and the procedures say."""

from __future__ import annotations

from tests.crew.steps import FLOWN, PAGE, page
from trainer.scenario.library import default_library


def test_the_page_of_steps_is_as_made() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python -m tests.crew.steps"


def test_every_flow_is_on_it() -> None:
    assert set(FLOWN) == set(default_library().names("flow"))
