"""The judge is a fold: judged in between or at the end, the same facts give the same."""

from __future__ import annotations

from tests.builders import book, exercise, row, say
from tests.judge.small import NOW, call
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude


def test_judging_in_between_changes_nothing() -> None:
    tracker = Tracker(exercise((call("minimums"),)), book())
    rows = [row(0)]
    tracker.start(rows[0])
    for step in range(200):
        rows.append(row(step + 1))
        deed = {30: say(30, "path captured"), 50: say(50, "minimums")}.get(step)
        acts = [deed[0]] if deed else []
        facts = [deed[1]] if deed else []
        tracker.advance(acts, facts + ([NOW] if step == NOW.step else []), rows[-1])
        if step == 40:
            assert conclude(tracker, rows, "").items[0].verdict == "wrong"
    assert conclude(tracker, rows, "").items[0].verdict == "on time"
