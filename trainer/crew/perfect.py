"""The perfect crew: a reactive queue over the open items, no planner and no look ahead.

Among the items that are open, undone and not void and whose aim has come (or whose due has), it
takes the one due first, then closing first, then first in the file; acts; and is busy for what
the act costs. Guide, hints, hand-over, slips and mutants are all this crew with edits.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import field

from trainer.crew.pace import busy_steps
from trainer.crew.words import act_of
from trainer.flight.acts import Act
from trainer.flight.observers import NEVER, Observer
from trainer.flight.row import Row
from trainer.judge.deviations import URGENCY as DEVIATION_URGENCY
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import Track
from trainer.scenario.exercise import Edit
from trainer.units import steps_for
from trainer.values import dataclass


@dataclass(slots=True)
class _Edited:
    """An edit on its way through one flight."""

    edit: Edit
    to: Observer | None = None
    is_spent: bool = False
    at: int = NEVER


@dataclass(slots=True)
class PerfectCrew:
    """Acts for one seat from what its tracker shows; `edits` make it imperfect on purpose.

    `advances` gives the step at which an item named in an `advance` edit by seconds is acted
    (known only from a reference flight).
    """

    tracker: Tracker
    edits: tuple[Edit, ...] = ()
    advances: dict[str, int] = field(default_factory=dict)
    by: str = "crew"
    _busy_until: int = 0
    _edited: dict[str, _Edited] = field(default_factory=dict)
    _swaps: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for edit in self.edits:
            if edit.kind == "swap":
                self._swaps[edit.item] = edit.other
                self._swaps[edit.other] = edit.item
                continue
            to = self.tracker.evaluator.watch(edit.to) if edit.to is not None else None
            at = self.advances.get(edit.item, NEVER)
            self._edited[edit.item] = _Edited(edit, to, at=at)
        for item in (*self.tracker.exercise.flow.items, *self.tracker.exercise.flow.go_around):
            edited = self._edited.get(item.name)
            if item.each is not None and edited is not None and edited.edit.kind != "omit":
                # An edit of a recurring item by its own name is meant for its first instance.
                self._edited[f"{item.name} 1"] = self._edited.pop(item.name)

    def edited(self, edits: tuple[Edit, ...], advances: dict[str, int]) -> PerfectCrew:
        """This crew from now on with `edits`, as busy as it is; it must have none of its own."""
        return PerfectCrew(self.tracker, edits, advances, self.by, self._busy_until)

    def next_track(
        self, row: Row, but: Track | None = None, skipped: Collection[str] = ()
    ) -> Track | None:
        """The item this crew would act on at `row` (not `but`), or None while there is none.

        `skipped` names items to pass over. A crew that made a mistake on purpose leaves it; without
        edits an item done wrong is still to be done.
        """
        best: Track | None = None
        best_key = (NEVER, NEVER, NEVER)
        step = row.step
        is_call_coming = False
        for track in self.tracker.live:
            if not track.is_open:
                continue
            if not track.aim_at(step):
                is_call_coming |= track.urgency == DEVIATION_URGENCY
                continue
            if track.item.role == "aircraft" or track is but or track.name in skipped:
                continue
            if track.wrong is not None and self.edits:
                continue
            edited = self._edited.get(track.name) or self._edited.get(track.item.name)
            if edited is not None and (not edited.is_spent or edited.edit.kind == "replace"):
                continue
            key = (track.due, track.closes, track.place)
            if key < best_key:
                best, best_key = track, key
        # Who sees a deviation grow does not begin another sentence before it is called.
        return None if is_call_coming and best is not None and best.is_speech else best

    def acts(self, row: Row) -> list[Act]:
        """What the crew does at `row`. Edited acts cost no time, so that neighbours stay put."""
        acts, edited = self._edited_acts(row)
        if row.step < self._busy_until:
            return acts
        track = self.next_track(row, edited)
        if track is not None:
            act = self._act(track, row)
            self._busy_until = row.step + busy_steps(act)
            acts.append(act)
        return acts

    def _act(self, track: Track, row: Row) -> Act:
        other = self._swaps.pop(track.name, None)
        if other is not None:
            # The other one comes first this once; this one is then taken in its place.
            self._swaps.pop(other, None)
            # An instance that does not exist yet cannot change places.
            tracks = self.tracker.tracks
            track = next((one for one in tracks if one.name == other), track)
        return act_of(track.item.act, row, self.tracker, self.by, track)

    def _edited_acts(self, row: Row) -> tuple[list[Act], Track | None]:
        """The acts that edits bring about at `row`, and the item of the last of them."""
        acts: list[Act] = []
        acted: Track | None = None
        step = row.step
        for name, edited in self._edited.items():
            if edited.is_spent:
                continue
            track = next((one for one in self.tracker.tracks if one.name == name), None)
            if track is None:
                continue
            edit = edited.edit
            if edit.kind == "advance":
                if (edited.to is not None and edited.to.now) or step >= edited.at:
                    edited.is_spent = True
                    acted = track
                    acts.append(self._act(track, row))
            elif edit.kind == "delay":
                if track.due != NEVER and step >= track.due + steps_for(edit.seconds):
                    edited.is_spent = True
                    if track.is_open:
                        acted = track
                        acts.append(self._act(track, row))
            elif edit.kind == "replace" and track.is_open and track.aim_at(step):
                edited.is_spent = True
                acted = track
                assert edit.act is not None
                acts.append(act_of(edit.act, row, self.tracker, self.by, track))
        return acts, acted
