"""The one closing of an attempt: the judgement as a document, and that document into the records.

Whoever flies (the app, a scripted crew) closes here, so that what is kept never depends on how it
was flown. It neither flies nor judges.
"""

from __future__ import annotations

from typing import Any

from trainer import ENGINE, JUDGE
from trainer.crew.session import Session
from trainer.flight.replay import digest
from trainer.judge.judgement import Judgement
from trainer.records.journal import Attempt
from trainer.records.packing import pack
from trainer.report.document import judgement_json


def session_document(session: Session, judgement: Judgement) -> dict[str, Any]:
    """The judgement JSON of the flight of `session`, with the digest of that flight."""
    flight = session.flight
    fingerprint = digest(session.exercise, flight.acts, flight.rows, flight.facts)
    return judgement_json(judgement, session.exercise, flight.rows, fingerprint, ENGINE, JUDGE)


def close(attempt: Attempt, session: Session, judgement: Judgement) -> dict[str, Any]:
    """Close `attempt` with the judgement, the rows and the facts of `session`.

    Returns the judgement JSON that was kept.
    """
    flight = session.flight
    document = session_document(session, judgement)
    attempt.beat(flight.row.step)
    attempt.finish(document, pack(flight.rows, flight.facts), str(document["digest"]))
    return document
