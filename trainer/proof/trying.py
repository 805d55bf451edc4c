"""Mutants tried: each leaves a shared flight at the first step at which its edit can matter.

Until the edited item opens, a crew with a slip does exactly what the perfect crew does. So the
perfect crew flies once more, and every mutant is flown on from there in a fork. Words move no
aircraft: a mutant of speech only is judged on over the rows of the reference flight and not flown.
"""

from __future__ import annotations

from functools import partial

from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.flight.acts import by_step
from trainer.flight.ending import DECISION
from trainer.flight.flight import spoken_fact
from trainer.flight.observers import NEVER
from trainer.judge.judgement import Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude
from trainer.proof.forks import CAN_FORK, Forks
from trainer.proof.mutants import Mutant
from trainer.scenario.exercise import Edit, Exercise, Item
from trainer.scenario.moments import mentions
from trainer.values import dataclass

Finding = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Result:
    """One mutant as judged: what it had to give, what it gave, and whether it applied at all."""

    mutant: Mutant
    found: tuple[Finding, ...]
    is_applicable: bool

    @property
    def is_exact(self) -> bool:
        """Whether the primary findings are exactly the mutation."""
        return self.found == ((self.mutant.item, self.mutant.verdict),)


def try_mutant(mutant: Mutant, reference: Session) -> Result:
    """Try one mutant from the start of its own flight."""
    exercise, book = reference.exercise, reference.book
    if not is_speech(mutant, reference):
        session = Session(exercise, book)
        return _flown_on(mutant, session, PerfectCrew(session.tracker))
    tracker = Tracker(exercise, book)
    tracker.start(reference.flight.rows[0])
    return _judged_on(mutant, tracker, PerfectCrew(tracker), reference)


def try_all(mutants: list[Mutant], reference: Session, forks: Forks, first: int = 0) -> None:
    """Try every mutant; results go to `forks` under the place in the list, from `first` up."""
    if not CAN_FORK:
        for place, mutant in enumerate(mutants, first):
            forks.start(place, partial(try_mutant, mutant, reference))
        return
    waiting = sorted(
        ((first_step(mutant, reference), place) for place, mutant in enumerate(mutants)),
        reverse=True,
    )
    session = Session(reference.exercise, reference.book)
    crew = PerfectCrew(session.tracker)
    while waiting:
        # A crew with edits leaves what was done wrong, so nothing is shared beyond that.
        is_parting = session.is_over or any(one.wrong for one in session.tracker.live)
        while waiting and (is_parting or waiting[-1][0] <= session.row.step):
            place = waiting.pop()[1]
            mutant = mutants[place]
            if is_speech(mutant, reference):
                work = partial(_judged_on, mutant, session.tracker, crew, reference)
            else:
                work = partial(_flown_on, mutant, session, crew)
            forks.start(first + place, work)
        if waiting:
            session.step(crew.acts(session.row))


def first_step(mutant: Mutant, reference: Session) -> int:
    """The first step at which a crew with the edits of `mutant` may act otherwise.

    An edit is asked only about its item while that is open, or from the step of an early act;
    an edit that waits for a moment is watched from the start.
    """
    return min(_first_step(edit, mutant, reference.tracker) for edit in mutant.edits)


def _first_step(edit: Edit, mutant: Mutant, reference: Tracker) -> int:
    if edit.to is not None:
        return 0
    names = (edit.item, edit.other)
    opened = [
        track.opened
        for track in reference.tracks
        if track.opened is not None and (track.name in names or track.item.name in names)
    ]
    is_early = edit.item == mutant.item
    return min((*opened, mutant.at if is_early else NEVER)) if opened else 0


def is_speech(mutant: Mutant, reference: Session) -> bool:
    """Whether a mutant changes one call, and no hand and no end of the flight waits for it."""
    edit = mutant.edits[0]
    if len(mutant.edits) != 1 or edit.to is not None or edit.kind == "swap":
        return False
    track = next(one for one in reference.tracker.tracks if one.name == mutant.item)
    return track.is_speech and not _is_waited_for(track.item, reference.exercise)


def _is_waited_for(item: Item, exercise: Exercise) -> bool:
    """Whether a hand that would be early before this call waits for it, or the end does."""
    if item.act.intent == DECISION:
        return True
    call = {("done", item.name), ("said", item.act.intent)}
    return any(
        other.early != "fine"
        and other.act.kind in ("do", "set")
        and not call.isdisjoint((need.kind, need.name) for need in mentions(other.opens))
        for other in exercise.flow.every_item
    )


def _flown_on(mutant: Mutant, session: Session, crew: PerfectCrew) -> Result:
    """The mutant flown to the end from where `session` stands."""
    edited = crew.edited(mutant.edits, _advances(mutant))
    return _result(mutant, session.tracker, session.run(edited.acts))


def _judged_on(mutant: Mutant, tracker: Tracker, crew: PerfectCrew, reference: Session) -> Result:
    """The reference rows with the acts of the edited crew, judged on from where `tracker` stands.

    Acts of hands keep their steps, so rows and all facts but those of speech stay as they were.
    """
    flight = reference.flight
    edited = crew.edited(mutant.edits, _advances(mutant))
    facts_of = by_step(one for one in flight.facts if one.kind not in ("said", "read back"))
    hands_of = by_step(one for one in flight.acts if one.act not in ("say", "read back"))
    for row in flight.rows[tracker.row.step : -1]:
        step = row.step
        spoken = [act for act in edited.acts(row) if act.act in ("say", "read back")]
        acts = hands_of.get(step, []) + spoken
        facts = facts_of.get(step, []) + [spoken_fact(act) for act in spoken]
        tracker.advance(acts, facts, flight.rows[step + 1])
    return _result(mutant, tracker, conclude(tracker, flight.rows, flight.reason))


def _advances(mutant: Mutant) -> dict[str, int]:
    return {} if mutant.at == NEVER else {mutant.item: mutant.at}


def _result(mutant: Mutant, tracker: Tracker, judgement: Judgement) -> Result:
    is_applicable = True
    if mutant.verdict in ("late", "missed", "wrong"):
        track = next((one for one in tracker.tracks if one.name == mutant.item), None)
        if track is None or (track.done is None and mutant.verdict == "late"):
            is_applicable = False
        elif track.done is not None:
            is_applicable = mutant.verdict != "late" or track.due < track.done
        elif track.is_void and track.wrong is None:  # taken away before it was due
            is_applicable = False
        elif track.is_open:  # the flight ended first: nobody can have missed it
            is_applicable = track.due < tracker.row.step
    return Result(mutant, tuple(sorted(judgement.primary())), is_applicable)
