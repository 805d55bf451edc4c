"""Order: in groups that a flow declares ordered, neighbours done the other way round.

Owns which items are neighbours. Refuses to know windows: each item keeps its own verdict, and an
inverted pair is one finding beside them. Surprising rule: what had no act of its own (so already,
or passed over) has no place in the order.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from trainer.judge.board import SETTLED_BY_ITSELF
from trainer.judge.judgement import WatchFinding
from trainer.judge.tracks import Track

SEVERITY = "minor"
"""How grave an inverted pair is: what each of the two was for has been done."""


def neighbours(tracks: Sequence[Track], ordered: Sequence[str]) -> list[tuple[Track, Track]]:
    """Pairs of items of an ordered group that follow one another among those done, as written."""
    pairs: list[tuple[Track, Track]] = []
    for group in ordered:
        done = [
            track
            for track in tracks
            if track.item.group == group
            and track.done is not None
            and track.done_found not in SETTLED_BY_ITSELF
        ]
        pairs += pairwise(sorted(done, key=lambda track: track.place))
    return pairs


def inverted_name(first: Track, second: Track) -> str:
    """What an inverted pair is called."""
    return f"{second.name} before {first.name}"


def inversions(tracks: Sequence[Track], ordered: Sequence[str]) -> tuple[WatchFinding, ...]:
    """One finding for each pair of neighbours done the other way round."""
    found: list[WatchFinding] = []
    for first, second in neighbours(tracks, ordered):
        assert first.done is not None
        assert second.done is not None
        if second.done >= first.done:
            continue
        found.append(
            WatchFinding(
                watch=inverted_name(first, second),
                severity=SEVERITY,
                start=second.done,
                end=first.done,
                worst=None,
                limit=None,
                unit="",
                because=None,
                why=f"In {first.item.group} the order matters: {first.item.why}".strip(),
                source=first.item.source,
            )
        )
    return tuple(found)
