"""Every finding ends with what would have been accepted, and offers "our procedure differs".

It is offered wherever a house could have it otherwise. Physics and what was not so stay as they
are, and are offered nothing.
"""

from __future__ import annotations

import shlex
from functools import cache

import pytest

from tests.crew.crews import exercise
from tests.judge.driven import Pilot
from trainer.judge.judgement import ItemVerdict
from trainer.report.debrief import Debrief, debrief
from trainer.report.plain import item_facts, plain_text
from trainer.scenario.exercise import Act, Edit

SLIPS = (
    Edit("omit", "glide alive"),
    Edit("delay", "identified", 4.0),
    Edit("delay", "landing flap", 4.0),
    Edit("replace", "missed approach call", act=Act("say", intent="missed approach set",
                                                    text="missed approach 5000 set")),
)  # fmt: skip
DIFFERS = {"glide alive": True, "identified": True, "landing flap": False,
           "missed approach call": False}  # fmt: skip


@cache
def debriefed() -> Debrief:
    """A check flown through the driver with four slips of four kinds."""
    pilot = Pilot("check", edits=SLIPS)
    judgement = pilot.flown()
    return debrief(judgement, exercise("straight-in"), pilot.driver.session.flight.rows)


def finding(name: str) -> ItemVerdict:
    return next(one for one in debriefed().findings if one.item == name)


def test_the_four_slips_are_the_findings() -> None:
    assert {(one.item, one.verdict) for one in debriefed().findings} == {
        ("glide alive", "missed"), ("identified", "late"), ("landing flap", "late"),
        ("missed approach call", "wrong"),
    }  # fmt: skip


@pytest.mark.parametrize("name", DIFFERS)
def test_each_ends_with_what_would_have_been_accepted(name: str) -> None:
    facts = dict(item_facts(debriefed(), finding(name)))
    assert facts["accepted instead"].startswith("right from ")
    assert facts["why"]
    assert facts["source"]


@pytest.mark.parametrize(("name", "differs"), DIFFERS.items())
def test_ours_differs_is_offered_where_a_house_could_have_it_otherwise(
    name: str, differs: bool
) -> None:
    facts = dict(item_facts(debriefed(), finding(name)))
    command = facts.get("if ours differs", "")
    assert shlex.split(command) == (["approach-drill", "debrief", "--differs", name] * differs)


def test_it_stands_on_the_page_the_pilot_reads() -> None:
    page = plain_text(debriefed(), 100)
    assert "if ours differs: approach-drill debrief --differs 'glide alive'" in page
