"""Hands meet items: buttons, levers, selectors and checklists.

(1) The open undone item with the same control and right value that is due first; (2) an item not
yet open: early; (3) an open item of the same control with another value: wrong once it has stood
for a second; (4) else unmatched, which costs nothing.
"""

from __future__ import annotations

from collections.abc import Iterable

from trainer.flight.acts import Act, Fact
from trainer.flight.row import Row
from trainer.judge.answers import Answers
from trainer.judge.board import SELF_CORRECTED, Board, first_due
from trainer.judge.tracks import Track, Wrong
from trainer.units import steps_for

SELECTOR_STANDS = steps_for(1.0)
"""A lever or selector counts as wrong once it has stood this long."""


class HandMatcher:
    """Matches acts of hands against the items of one board."""

    def __init__(self, board: Board, answers: Answers) -> None:
        self.board = board
        self.answers = answers
        self._standing: list[tuple[int, Track, str, str]] = []

    def refused(self, act: Act, reason: str) -> None:
        """A refused act settles nothing; it is early only where early is forbidden."""
        for track in self.board.tracks:
            item = track.item
            if (
                track.is_waiting
                and item.early == "forbidden"
                and item.act.kind == "do"
                and item.act.control == act.control
                and track.early is None
            ):
                track.early = Wrong(act.step, f"refused: {reason}")
                return

    def match_hand(self, act: Act, after: Row) -> None:
        """Match a button, lever or selector; `after` is the row it led to."""
        if self.answers.by_hand(act, after, found_text(act, after)):
            self._match_item(act, after, [])
        else:
            self._match_item(act, after, self.board.unmatched)

    def _match_item(self, act: Act, after: Row, unmatched: list[str]) -> None:
        board = self.board
        # What has not stood for a second by the time its control is moved again was passed through.
        self._standing = [one for one in self._standing if one[2] != act.control]
        same = [
            track
            for track in board.tracks
            if track.item.act.control == act.control and not track.item.answers
        ]
        right = [track for track in same if board.hands.matches(track.item.act, act)]
        self._leave([one for one in same if one not in right], act)
        track = first_due(one for one in right if one.is_open)
        if track is not None:
            if board.hands.has_effect(track.item.act, after):
                board.put_right(track, act.step)
                board.settle(track, act.step, found_text(act, after))
            else:
                unmatched.append(f"{found_text(act, after)}: without effect")
            return
        waiting = board.still_to_come(right)
        if waiting:
            self._early(waiting[0], act, after)
            return
        open_one = first_due(one for one in same if one.is_open)
        if open_one is None:
            unmatched.append(found_text(act, after))
        elif not board.hands.is_on_the_way(open_one.item.act, act, board.row):
            value = act.value
            self._standing.append((act.step + SELECTOR_STANDS, open_one, act.control, value))

    def _early(self, track: Track, act: Act, after: Row) -> None:
        if track.item.early == "fine":
            return
        if track.early is None:
            track.early = Wrong(act.step, found_text(act, after))

    def _leave(self, same: Iterable[Track], act: Act) -> None:
        """A control that leaves an early value again within 3 s was a slip of the hand."""
        for track in same:
            if (
                track.is_waiting
                and track.early is not None
                and act.step - track.early.step <= SELF_CORRECTED
            ):
                track.early = None

    def look(self) -> None:
        """A lever or selector counts as wrong once it has stood for a second."""
        step = self.board.row.step
        still: list[tuple[int, Track, str, str]] = []
        for when, track, control, value in self._standing:
            if step < when:
                still.append((when, track, control, value))
            elif track.is_open and track.wrong is None:
                found = f"{control} {value}".strip()
                track.wrong = Wrong(when - SELECTOR_STANDS, found)
        self._standing = still

    def match_checklist(self, act: Act) -> None:
        """Match the taking up of a checklist."""
        board = self.board
        same = [
            track
            for track in board.tracks
            if track.item.act.kind == "checklist" and track.item.act.checklist == act.control
        ]
        track = first_due(one for one in same if one.is_open)
        if track is not None:
            board.settle(track, act.step, f"{act.control} checklist begun")
            return
        waiting = board.still_to_come(same)
        if not waiting:
            board.unmatched.append(f"{act.control} checklist begun")
        elif waiting[0].item.early == "fine":
            waiting[0].is_early_done = True
        elif waiting[0].early is None:
            waiting[0].early = Wrong(act.step, f"{act.control} checklist begun")

    def match_line(self, act: Act, answered: Fact) -> None:
        """Match the answer to the open line; confirmed against the state it is wrong."""
        board = self.board
        name, challenge = answered.name, answered.detail
        same = [
            track
            for track in board.tracks
            if (track.item.act.checklist, track.item.act.challenge) == (name, challenge)
        ]
        for track in same:
            if track.done is None and not track.is_void:
                if track.opened is None:
                    board.open_line(track)
                if not _is_so(track):
                    track.wrong = Wrong(act.step, f"{challenge} confirmed, but not so")
                board.settle(track, act.step, f"{challenge} confirmed")
                return
        for track in same:
            if track.wrong is not None:
                # Read again, and now it is so.
                if track.corrected is None and _is_so(track):
                    track.corrected = act.step
                return
        board.unmatched.append("checklist line")


def _is_so(track: Track) -> bool:
    return all(line.now for line in track.lines)


def found_text(act: Act, row: Row) -> str:
    """What was done and where, as a sentence: the state is that right after the act."""
    action = f"{act.control} {act.value}".strip()
    place = f"{action} at {row.distance_nm:.1f} NM, {row.altitude_ft:.0f} ft, {row.cas_kt:.0f} kt"
    if act.control not in ("approach mode", "localizer mode"):
        return place
    if row.track != "none":
        service = row.modes.capability or "no level of service"
        armed = " and ".join(row.modes.lateral_armed + row.modes.vertical_armed) or "nothing"
        return f"{place}; {service} shown; {armed} armed"
    received = f"localizer {_signal(row.localizer)}, glide path {_signal(row.glide)}"
    armed = " and ".join(row.modes.lateral_armed + row.modes.vertical_armed) or "nothing"
    return f"{place}; {received}; {armed} armed"


def _signal(state: str) -> str:
    return {
        "none": "not received",
        "flagged": "not received",
        "received": "received outside its coverage",
        "covered": "received",
    }[state]
