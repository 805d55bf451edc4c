"""Other correct crews: techniques that any trade accepts, made for the exercise at hand.

Owns which techniques there are and what each changes in the perfect crew. Every one of them must
be found to be as right as the perfect crew; a rule that finds something in one of them is a rule
that is wrong. Surprising rule: a technique that this exercise has no room for (nothing to swap, no
autopilot) is left out, not flown as something else. Sources: common practice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from trainer.judge.tracker import Tracker
from trainer.judge.tracks import MOMENTS, Track
from trainer.scenario.crew_files import CrewFile, ScriptedAct
from trainer.scenario.exercise import Act, Edit, Exercise
from trainer.scenario.moments import START, AllOf, Compare, Figure, Moment, Shows
from trainer.values import dataclass

_CONFIGURATION = ("flaps", "gear")
_LATE_NM = 0.8
"""Energy margin at which the late-stable crew completes its configuration, NM."""
_CLEARED_AT_FT = 420.0
"""Height at which a late landing clearance comes, ft."""


@dataclass(frozen=True, slots=True)
class OtherCrew:
    """A correct crew that is not the perfect one: its name, the exercise it flies, what it does."""

    name: str
    exercise: Exercise
    file: CrewFile


def other_crews(exercise: Exercise, reference: Tracker) -> list[OtherCrew]:
    """The techniques that apply to an exercise, from the reference flight of its perfect crew."""
    done = [
        track
        for track in reference.tracks
        if track.opened is not None and track.done is not None and track.item.weight > 0.0
    ]
    made = [make(exercise, reference, done) for make in _TECHNIQUES]
    return [one for one in made if one is not None]


def _crew(
    name: str, exercise: Exercise, edits: list[Edit], acts: tuple[ScriptedAct, ...] = ()
) -> OtherCrew | None:
    if not edits and not acts:
        return None
    return OtherCrew(name, exercise, CrewFile("perfect", tuple(edits), acts))


def _moves(done: list[Track]) -> list[Track]:
    """Items of flap and gear on the way down that have an aim of their own."""
    return [
        track
        for track in done
        if track.item.act.kind == "do"
        and track.item.act.control in _CONFIGURATION
        and isinstance(track.item.aim, MOMENTS)
        and not track.is_go_around
    ]


def _early_stable(exercise: Exercise, reference: Tracker, done: list[Track]) -> OtherCrew | None:
    """Flap and gear as soon as their windows open."""
    edits = [Edit("advance", track.name, to=_opening(track)) for track in _moves(done)]
    return _crew("early stable: flap and gear as soon as they may", exercise, edits)


def _late_stable(exercise: Exercise, reference: Tracker, done: list[Track]) -> OtherCrew | None:
    """Landing flap with little margin left."""
    moves = [track for track in _moves(done) if track.item.act.control == "flaps"]
    if not moves:
        return None
    late: Moment = Compare("margin", "below", Figure(_LATE_NM))
    edit = Edit("advance", moves[-1].name, to=AllOf((_opening(moves[-1]), late)))
    return _crew("late stable: landing flap with little margin", exercise, [edit])


def _opening(track: Track) -> Moment:
    return track.item.each if track.item.each is not None else track.item.opens


def _said_once(exercise: Exercise, done: list[Track]) -> Iterator[tuple[Track, list[str]]]:
    """Each call that is made once, with the phrases of the house for it that hold no value."""
    phrases = dict(exercise.house.words)
    for track in done:
        act = track.item.act
        if act.kind == "say" and track.item.each is None:
            yield track, [one for one in phrases.get(act.intent, ()) if "{" not in one]


def _said_as(track: Track, text: str) -> Edit:
    return Edit("replace", track.name, act=Act("say", intent=track.item.act.intent, text=text))


def _other_words(exercise: Exercise, reference: Tracker, done: list[Track]) -> OtherCrew | None:
    """The longest phrase of the house for each call, where the perfect crew says the shortest."""
    edits = []
    for track, known in _said_once(exercise, done):
        if len(known) > 1:
            edits.append(_said_as(track, max(known, key=len)))
    return _crew("other house words", exercise, edits)


def _short_forms(exercise: Exercise, reference: Tracker, done: list[Track]) -> OtherCrew | None:
    """The two letters that the house has for a call."""
    edits = []
    for track, known in _said_once(exercise, done):
        letters = [short for short, phrase in exercise.house.short if phrase in known]
        if letters:
            edits.append(_said_as(track, letters[0]))
    return _crew("two-letter forms of the house", exercise, edits)


def _other_order(exercise: Exercise, reference: Tracker, done: list[Track]) -> OtherCrew | None:
    """Two settings of the set-up the other way round, unless the flow orders them."""
    free = [
        track
        for track in done
        if track.item.opens == START
        and track.item.act.kind == "set"
        and track.item.group not in exercise.flow.ordered
    ]
    if len(free) < 2:
        return None
    swapped = Edit("swap", free[-2].name, other=free[-1].name)
    return _crew("the set-up in another order", exercise, [swapped])


def _hand_flown(exercise: Exercise, reference: Tracker, done: list[Track]) -> OtherCrew | None:
    """The autopilot off soon after the start, and said.

    There is no room for it where the exercise asks for the autopilot off, and on again, on the
    way: by then it would be off already, and nobody could take it off once more to land.
    """
    off = [
        track
        for track in done
        if track.item.act.control == "autopilot off" and not track.is_go_around
    ]
    if len(off) != 1 or "autopilot off" not in dict(exercise.house.words):
        return None
    said = reference.book.spoken_form("autopilot off")
    words = Act("say", intent="autopilot off", text=said)
    acts = (
        ScriptedAct(30.0, None, 0.0, Act("do", "autopilot off")),
        ScriptedAct(32.0, None, 0.0, words),
    )
    return _crew("hand-flown", exercise, [Edit("omit", off[0].name)], acts)


def _cleared_late(exercise: Exercise, reference: Tracker, done: list[Track]) -> OtherCrew | None:
    """The landing clearance comes late: it is asked for, and that costs nothing."""
    if not any(item.act.intent == "request landing clearance" for item in exercise.flow.items):
        return None
    moment = Compare("height", "falling", Figure(_CLEARED_AT_FT))
    events = tuple(
        replace(event, when=moment) if event.grants == "land" else event
        for event in exercise.events
    )
    if events == exercise.events or not any(track.item.act.event for track in done):
        return None
    return OtherCrew("cleared to land late", replace(exercise, events=events), CrewFile("perfect"))


def _gone_around(exercise: Exercise, reference: Tracker, done: list[Track]) -> OtherCrew | None:
    """A go-around that nothing asked for: always allowed."""
    final: Moment = Shows("phase", "", ("final",))
    low = AllOf((final, Compare("height", "below", Figure(700.0))))
    goes_around = any(track.is_go_around for track in done)
    if goes_around or "go-around" not in exercise.aircraft.controls:
        return None
    act = ScriptedAct(None, low, 0.0, Act("do", "go-around"))
    return _crew("a go-around nobody asked for", exercise, [], (act,))


_Technique = Callable[[Exercise, Tracker, list[Track]], OtherCrew | None]
_TECHNIQUES: tuple[_Technique, ...] = (
    _early_stable,
    _late_stable,
    _other_words,
    _short_forms,
    _other_order,
    _hand_flown,
    _cleared_late,
    _gone_around,
)
"""Every technique, in the order in which they are flown."""
