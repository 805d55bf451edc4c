"""All records of the format by name: the one table that validates, documents and completes."""

from __future__ import annotations

from trainer.scenario.vocabulary import lessons, machines, places, procedures
from trainer.scenario.vocabulary.shapes import Record

RECORDS: dict[str, Record] = {
    record.name: record
    for table in (places.TABLES, machines.TABLES, procedures.TABLES, lessons.TABLES)
    for record in table
}
"""Every record by its name."""

KINDS = {
    "airport": "airports",
    "aircraft": "aircraft",
    "flow": "flows",
    "house": "houses",
    "exercise": "exercises",
}
"""Kinds of file, with the folder each stands in."""
