"""A kept attempt judged again from what was stored of it, or flown again from its acts.

Owns the choice between the two. Surprising rule: a stored judgement is never believed, and of a
file that came from elsewhere the stored flight is not believed either, as long as this engine can
fly its acts. What flies is imported only where something is flown: most debriefs need none of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from trainer import ENGINE, JUDGE
from trainer.errors import UserError
from trainer.flight.acts import Fact, numbered
from trainer.flight.row import Row
from trainer.judge.batch import judge
from trainer.judge.judgement import Judgement
from trainer.records.packing import PackingError, unpack
from trainer.records.stored import Stored
from trainer.report.document import document_text, judgement_json
from trainer.scenario.book import book_of
from trainer.scenario.compose import from_canonical
from trainer.scenario.draw import draw
from trainer.scenario.exercise import Exercise
from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Again:
    """A flight and its judgement by the present rules. `digest` is that of these rows and facts.

    `engine` is the version that flew them; `note` says what a reader should know ("" for nothing).
    """

    exercise: Exercise
    judgement: Judgement
    rows: Sequence[Row]
    facts: list[Fact]
    digest: str
    engine: int
    note: str = ""

    def json_text(self, what_if: Mapping[str, Sequence[str]] | None = None) -> str:
        """The judgement JSON as text; with `what_if`, what putting items right would change."""
        document = judgement_json(
            self.judgement, self.exercise, self.rows, self.digest, self.engine, JUDGE
        )
        if what_if is not None:
            document["what_if"] = {item: list(told) for item, told in what_if.items()}
        return document_text(document)


def exercise_of(stored: Stored) -> Exercise:
    """The exercise of a kept attempt, drawn with its seed. Raises UserError if it is unreadable."""
    return draw(from_canonical(stored.canonical, is_tried=not stored.file), stored.seed)


def judged_again(stored: Stored) -> Again:
    """`stored` judged by the present rules.

    An attempt of the records is judged from its stored facts and never flown. One that came as a
    file is flown again if this engine flew it; otherwise its stored flight is all there is, and
    the note says that nothing vouches for it.

    Raises:
        UserError: the attempt was not flown to an end, or what is stored of it cannot be read.
    """
    if stored.facts is None:
        raise UserError(f"{stored.label}: not flown to an end; nothing to judge")
    if stored.file and stored.engine == ENGINE:
        again = flown_again(stored)
        if again.digest == stored.digest:
            return again
        note = f"{stored.label}: its acts fly another flight than it says; judged is what they fly"
        return replace(again, note=note)
    again = _from_facts(stored)
    if stored.file:
        return replace(again, note=f"{stored.label}: not verified; {other_engine(stored)}")
    return again


def flown_again(stored: Stored) -> Again:
    """The acts of `stored` flown by this engine, as far as the attempt came, and judged.

    Raises:
        UserError: what is stored cannot be read, or its acts do not fit its exercise.
    """
    from trainer.flight.replay import digest, fly_again

    exercise = exercise_of(stored)
    book = book_of(exercise)
    acts = numbered(stored.acts)
    try:
        flight = fly_again(exercise, book, acts, stored.steps)
    except ValueError as error:  # a lever pressed as if it were a button
        if not stored.file:
            raise
        raise UserError(f"{stored.label}: its acts cannot be flown in its exercise") from error
    judgement = judge(exercise, book, flight.acts, flight.facts, flight.rows)
    fingerprint = digest(exercise, flight.acts, flight.rows, flight.facts)
    return Again(exercise, judgement, flight.rows, flight.facts, fingerprint, ENGINE)


def put_right(stored: Stored, again: Again, items: Sequence[str]) -> dict[str, tuple[str, ...]]:
    """For each of `items` what putting it right would have changed: the attempt is flown again.

    Raises:
        UserError: another engine flew the attempt, there is no such item, or it was no slip.
    """
    from trainer.report.what_if import told

    if again.engine != ENGINE:
        raise UserError(f"{stored.label}: it cannot be flown again: {other_engine(stored)}")
    acts = numbered(stored.acts)
    return told(again.judgement, again.exercise, acts, again.facts, again.rows, items)


def other_engine(stored: Stored) -> str:
    """The sentence about an attempt that another version of the engine flew."""
    return f"it was flown by engine {stored.engine}, this program flies by engine {ENGINE}"


def _from_facts(stored: Stored) -> Again:
    exercise = exercise_of(stored)
    assert stored.facts is not None
    try:
        rows, facts = unpack(stored.facts)
    except PackingError as error:
        raise UserError(f"{stored.label}: {error}") from error
    if not rows:
        raise UserError(f"{stored.label}: the stored flight is empty")
    judgement = judge(exercise, book_of(exercise), numbered(stored.acts), facts, rows)
    return Again(exercise, judgement, rows, facts, stored.digest or "", stored.engine)
