"""From the debrief model to the lines of the debrief screen."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.judge.judgement import ItemVerdict
from trainer.report.debrief import Debrief
from trainer.report.notes import Happening, clock, verdict_of


@dataclass(frozen=True, slots=True)
class DebriefItem:
    """One row of the table: item, verdict, when (time), where (NM), credit in percent, and why."""

    item: str
    verdict: str
    when: str
    where: str
    credit: str
    note: str


@dataclass(frozen=True, slots=True)
class DebriefText:
    """A debrief ready to be shown: headline, paragraph, findings, table, notes at the end."""

    headline: str
    is_passed: bool
    paragraph: str
    timeline: tuple[str, ...]
    items: tuple[DebriefItem, ...]
    notes: tuple[str, ...] = ()


def debrief_text(debrief: Debrief) -> DebriefText:
    """What the screen shows of a debrief: findings first, then everything that was right."""
    judgement = debrief.judgement
    return DebriefText(
        headline=debrief.heading,
        is_passed=judgement.outcome == "passed",
        paragraph=" ".join(_with_key(sentence) for sentence in debrief.paragraph),
        timeline=tuple(_happened(one) for one in debrief.timeline if one.kind != "mode"),
        items=tuple(_row(item) for item in (*debrief.findings, *debrief.others)),
        notes=(f"Seed {judgement.seed}.", debrief.notice),
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


def _row(item: ItemVerdict) -> DebriefItem:
    step = item.done if item.done is not None else item.due
    note = ""
    if item.is_finding:
        parts = [item.found, item.better, item.why]
        note = ". ".join(part.rstrip(".") for part in parts if part) + "."
    return DebriefItem(
        item=item.item,
        verdict=verdict_of(item),
        when=clock(step) if item.verdict != "not reached" else "",
        where="" if item.distance_nm is None else f"{item.distance_nm:.1f}",
        credit="" if item.credit is None else f"{item.credit * 100.0:.0f}%",
        note=note,
    )
