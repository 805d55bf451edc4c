"""From the debrief model to the parts of the debrief screen."""

from __future__ import annotations

from trainer.judge.judgement import ItemVerdict
from trainer.report.annunciator import shown_rows
from trainer.report.debrief import Debrief
from trainer.report.notes import Happening, clock, verdict_of
from trainer.report.pictures import Picture, pictures
from trainer.report.plain import (
    briefing_lines,
    gate_lines,
    item_facts,
    observed_notes,
    observed_rows,
    watch_lines,
)
from trainer.values import dataclass

BY_KEY = ("again from here", "if ours differs")
"""Facts of a finding that tell a command; on the screen a key does it."""


@dataclass(frozen=True, slots=True)
class DebriefItem:
    """One row of the table: item, verdict, when (time), where (NM), credit in percent."""

    item: str
    verdict: str
    when: str
    where: str
    credit: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to work on: item, verdict, what there is to say of it as (label, text).

    `again_from`: the moment at which to take over for another try, "" for the start.
    """

    item: str
    verdict: str
    facts: tuple[tuple[str, str], ...]
    again_from: str


@dataclass(frozen=True, slots=True)
class DebriefText:
    """A debrief ready to be shown: headline, paragraph, findings, pictures, lists, notes."""

    headline: str
    is_passed: bool
    paragraph: str
    findings: tuple[Finding, ...]
    others: tuple[str, ...]
    pictures: tuple[Picture, ...]
    timeline: tuple[str, ...]
    shown: tuple[tuple[str, ...], ...]
    difference: str
    observed: tuple[tuple[str, ...], ...]
    observed_notes: tuple[str, ...]
    items: tuple[DebriefItem, ...]
    notes: tuple[str, ...] = ()
    briefing: tuple[str, ...] = ()


def debrief_text(debrief: Debrief) -> DebriefText:
    """What the screen shows of a debrief: what is to be worked on first, everything else below."""
    judgement = debrief.judgement
    return DebriefText(
        headline=debrief.heading,
        is_passed=judgement.outcome == "passed",
        paragraph=" ".join(_with_key(sentence) for sentence in debrief.paragraph),
        findings=tuple(_finding(debrief, item) for item in debrief.findings),
        others=(
            *(f"gate {line}" for line in gate_lines(debrief)),
            *watch_lines(debrief),
            *(f"not matched by anything expected: {text}" for text in judgement.unmatched),
        ),
        pictures=pictures(debrief),
        timeline=tuple(_happened(one) for one in debrief.timeline if one.kind != "mode"),
        shown=tuple(tuple(row) for row in shown_rows(debrief.annunciator)),
        difference=debrief.difference,
        observed=tuple(tuple(row) for row in observed_rows(debrief)),
        observed_notes=tuple(observed_notes(debrief)),
        items=tuple(_row(item) for item in (*debrief.findings, *debrief.others)),
        notes=(debrief.points.line(), f"Seed {judgement.seed}.", debrief.notice),
        briefing=tuple(briefing_lines(debrief)),
    )


def _with_key(sentence: str) -> str:
    """A sentence of the paragraph; the one that names the next drill with the key for it here.

    The keys repeat what was flown, which may have been a segment only: they are told as such.
    """
    if not sentence.startswith("Next: "):
        return sentence
    if "with a new seed" in sentence:
        return f"{sentence} F6: the same with a new seed."
    return f"{sentence} F5: the same again."


def _happened(happening: Happening) -> str:
    place = "" if happening.distance_nm is None else f" {happening.distance_nm:5.1f} NM"
    verdict = f"  [{happening.verdict}]" if happening.verdict else ""
    return f"{clock(happening.step):>7}{place}  {happening.what}{verdict}"


def _finding(debrief: Debrief, item: ItemVerdict) -> Finding:
    facts = [fact for fact in item_facts(debrief, item) if fact[0] not in BY_KEY]
    return Finding(item.item, verdict_of(item), tuple(facts), debrief.again_from(item))


def _row(item: ItemVerdict) -> DebriefItem:
    step = item.done if item.done is not None else item.due
    return DebriefItem(
        item=item.item,
        verdict=verdict_of(item),
        when=clock(step) if item.verdict != "not reached" else "",
        where="" if item.distance_nm is None else f"{item.distance_nm:.1f}",
        credit="" if item.credit is None else f"{item.credit * 100.0:.0f}%",
    )
