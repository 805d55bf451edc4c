"""The attempt file: one attempt as a JSON document that opens on another machine.

Owns the published form: the composed exercise, the seed, the log, the packed flight and, for
people who look into it, the judgement of the day. Surprising rule: whatever can be computed again
is never believed; reading checks shapes and bounds, and who uses the result judges it anew.
"""

from __future__ import annotations

import base64
import binascii
import json
from pathlib import Path
from typing import Any, NoReturn

from trainer.errors import UserError, did_you_mean
from trainer.flight.acts import ACT_KINDS, Act
from trainer.records.journal import ENTRY_KINDS, Entry, Segment
from trainer.records.stored import Stored
from trainer.scenario.controls import CONTROLS
from trainer.text import NOTICE, quoted, shown

FORMAT = "approach-drill/attempt"
"""What the document calls itself."""
VERSION = 1
"""Version of the document; adding a key keeps it."""
SUFFIX = ".attempt.json"
"""How the name of an attempt file ends, by custom."""
MOST_BYTES = 64 * 1024 * 1024
"""Most that an attempt file may hold; one of 45 simulated minutes needs about a tenth of it."""
MOST_STEPS = 45 * 60 * 10
"""No flight has more steps than this."""
MOST_ENTRIES = 100_000
MOST_LETTERS = 2000
"""Most letters of one text in the log."""

_BODY = {
    "act": Act._fields[1:],
    "interrupted": ("reason",),
    "rewound": ("to_step",),
    "left": (),
    "resumed": (),
}
"""The keys of each kind of entry beside `kind` and `step`."""
assert tuple(_BODY) == ENTRY_KINDS


class AttemptFileError(UserError):
    """The file is no attempt file, or cannot be read; the text says why."""


def attempt_text(stored: Stored) -> str:
    """The attempt file of `stored`, as text (ASCII JSON, a newline at the end)."""
    facts = None if stored.facts is None else base64.b64encode(stored.facts).decode("ascii")
    document = {
        "format": FORMAT,
        "version": VERSION,
        "notice": NOTICE,
        "exercise": stored.exercise,
        "exercise_digest": stored.exercise_digest,
        "level": stored.level,
        "flown_as": stored.segment.flown_as,
        "from": stored.segment.since,
        "until": stored.segment.until,
        "seat": stored.seat,
        "seed": stored.seed,
        "engine": stored.engine,
        "started": stored.started,
        "steps": stored.beat,
        "outcome": stored.outcome,
        "points": stored.points,
        "digest": stored.digest,
        "log": [_entry_document(entry) for entry in stored.entries],
        "composed": json.loads(stored.canonical),
        "judgement": stored.judgement,
        "flight": facts,
    }
    return json.dumps(document, indent=1, allow_nan=False) + "\n"


def read_attempt_file(path: Path) -> Stored:
    """The attempt in the file at `path`.

    Raises:
        AttemptFileError: it cannot be read, or is no attempt file of a version known here.
    """
    name = shown(str(path))
    try:
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise AttemptFileError(f"{name}: cannot be read ({error.strerror})") from error
    if len(raw) > MOST_BYTES:
        raise AttemptFileError(f"{name}: too large for an attempt file")
    return attempt_from_text(raw, name)


def attempt_from_text(text: bytes | str, name: str) -> Stored:
    """The attempt of a document; `name` is what messages call it. Raises AttemptFileError."""
    try:
        document = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        raise AttemptFileError(f"{name}: no attempt file (not readable as JSON)") from error
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise AttemptFileError(
            f"{name}: no attempt file; `debrief --format attempt --output FILE` writes one"
        )
    if document.get("version") != VERSION:
        raise AttemptFileError(
            f"{name}: an attempt file of version {_short(document.get('version'))}; "
            f"this program reads version {VERSION}"
        )
    return _Reader(document, name).stored()


class _Reader:
    """Reads the keys of one document; every complaint names the file and the key."""

    def __init__(self, document: dict[str, Any], name: str) -> None:
        self._document = document
        self._name = name

    def stored(self) -> Stored:
        composed = self._document.get("composed")
        if not isinstance(composed, dict):
            self._refuse("composed", "the composed exercise is missing")
        judgement = self._document.get("judgement")
        outcome = self._text("outcome", None)
        facts = self._flight()
        if (outcome is None) != (facts is None):
            self._refuse("flight", "an attempt that ended holds its flight, and no other does")
        points = self._document.get("points")
        return Stored(
            number=0,
            exercise=self._text("exercise") or "",
            exercise_digest=self._text("exercise_digest") or "",
            canonical=json.dumps(composed, sort_keys=True, separators=(",", ":")),
            level=self._text("level") or "",
            seat=self._text("seat") or "",
            seed=self._whole("seed", 0, 10**30),
            engine=self._whole("engine", 0, 10**6),
            started=self._text("started") or "",
            beat=self._whole("steps", -1, MOST_STEPS),
            entries=self._log(),
            outcome=outcome,
            points=float(points) if isinstance(points, int | float) else None,
            judgement=judgement if isinstance(judgement, dict) else None,
            facts=facts,
            digest=self._text("digest", None),
            segment=Segment(*(self._text(key, "") or "" for key in ("flown_as", "from", "until"))),
            file=self._name,
        )

    def _log(self) -> tuple[Entry, ...]:
        log = self._document.get("log")
        if not isinstance(log, list) or len(log) > MOST_ENTRIES:
            self._refuse("log", f"expected a list of at most {MOST_ENTRIES} entries")
        entries: list[Entry] = []
        for place, one in enumerate(log, 1):
            if not isinstance(one, dict):
                self._refuse(f"log entry {place}", "expected a mapping")
            entries.append(_Reader(one, f"{self._name}: log entry {place}")._entry())
        return tuple(entries)

    def _entry(self) -> Entry:
        kind = self._text("kind") or ""
        if kind not in _BODY:
            self._refuse("kind", f"not {quoted(kind)}{did_you_mean(kind, _BODY)}")
        step = self._whole("step", 0, MOST_STEPS)
        if kind == "act":
            return Entry(kind, step, tuple(self._act(step)))
        if kind == "rewound":
            return Entry(kind, step, (self._whole("to_step", 0, step),))
        return Entry(kind, step, tuple(self._text(key, "") for key in _BODY[kind]))

    def _act(self, step: int) -> Act:
        act = self._text("act") or ""
        if act not in ACT_KINDS:
            self._refuse("act", f"not {quoted(act)}{did_you_mean(act, ACT_KINDS)}")
        control = self._text("control", "") or ""
        if act in ("press", "move", "set") and control not in CONTROLS:
            self._refuse("control", f"not {quoted(control)}{did_you_mean(control, CONTROLS)}")
        return Act(
            step, self._whole("serial", 0, 10**9), self._text("by") or "", act, control,
            self._text("value", "") or "", self._text("text", "") or "",
            self._whole("began", -1, MOST_STEPS),
        )  # fmt: skip

    def _flight(self) -> bytes | None:
        flight = self._document.get("flight")
        if flight is None:
            return None
        if not isinstance(flight, str):
            self._refuse("flight", "expected the packed flight as text")
        try:
            return base64.b64decode(flight, validate=True)
        except (binascii.Error, ValueError):
            self._refuse("flight", "not readable as base64")

    def _text(self, key: str, missing: str | None = "!") -> str | None:
        value = self._document.get(key)
        if value is None and missing != "!":
            return missing
        if not isinstance(value, str) or len(value) > MOST_LETTERS:
            self._refuse(key, f"expected a text, not {_short(value)}")
        return value

    def _whole(self, key: str, least: int, most: int) -> int:
        value = self._document.get(key)
        if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
            self._refuse(key, f"expected a whole number from {least}, not {_short(value)}")
        return value

    def _refuse(self, key: str, message: str) -> NoReturn:
        raise AttemptFileError(f"{self._name}: {key}: {message}")


def _entry_document(entry: Entry) -> dict[str, Any]:
    body = entry.body[1:] if entry.kind == "act" else entry.body
    return {
        "kind": entry.kind,
        "step": entry.step,
        **dict(zip(_BODY[entry.kind], body, strict=True)),
    }


def _short(value: object) -> str:
    return "nothing" if value is None else quoted(str(value)[:80])


def _no_number(word: str) -> NoReturn:
    raise ValueError(word)
