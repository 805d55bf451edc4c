"""Text that is no YAML, told in plain words: the bracket, the quote or the colon that is missing.

The parser notices a mistake later than it was made; here the place where it was made is looked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from trainer.errors import Problem

if TYPE_CHECKING:
    from trainer.scenario.nodes import Source


def translated(error: Any, source: Source, deepest: int) -> Problem:
    """The problem that an error of the parser (with its marks) stands for.

    deepest: how many levels of nesting are read.
    """
    mark = error.problem_mark or error.context_mark
    what = " ".join(str(error.problem or error.context or "not readable as YAML").split())
    line = mark.line + 1 if mark else 0
    column = mark.column + 1 if mark else 0
    if line > len(source.lines) or (line == len(source.lines) and not source.lines[-1]):
        line, column = _last_line(source)
    if "nesting depth" in what:  # libyaml looks ahead and gives up before an event arrives
        message = f"nested too deep; at most {deepest} levels"
        return source.problem(line, min(column, deepest + 1), 1, message)
    found = _unclosed(error, source) or _no_colon(what, line, source)
    return found or _broken(f"{what} {error.context or ''}", line, column, source)


def _broken(what: str, line: int, column: int, source: Source) -> Problem:
    text = source.lines[line - 1] if 0 < line <= len(source.lines) else ""
    advice = "check brackets, quotes, colons and indentation"
    if text.count(": ") > 1 and "{" not in text and "mapping values" in what:
        advice = "put a text that holds a colon in quotes"
    above = next((one for one in reversed(source.lines[: max(0, line - 1)]) if one.strip()), "")
    columns = [len(one) - len(one.lstrip()) + 1 for one in (text, above)]
    before, after = text[: max(0, column - 1)].rstrip(), text[max(0, column - 1) :].strip()
    if before[-1:] in ("}", "]", '"', "'") and after and not after.startswith("#"):
        opened = _opened_above(before, line, source)
        if opened is not None:
            return opened
        advice = f"nothing may follow the closing {before[-1]} here; put the whole text in quotes"
    elif "block" in what and columns[0] != columns[1] and column == columns[0]:
        advice = (
            f"this line begins in column {columns[0]}, the one above in column {columns[1]}; "
            "expected the keys of one mapping below each other"
        )
    return source.problem(line, column, 1, f"the YAML breaks off here; {advice}")


def _unclosed(error: Any, source: Source) -> Problem | None:
    """The problem of a quote or bracket that is never closed, where it was opened."""
    context, mark = str(error.context or ""), error.context_mark
    if mark is None:
        return None
    if "quoted scalar" in context and "end of stream" in str(error.problem):
        message = "the quote that begins here is never closed; expected the same quote again"
        return source.problem(mark.line + 1, mark.column + 1, 1, message)
    if "flow mapping" in context and _second_colon(error, source):
        at = error.problem_mark
        message = "a second colon before the next comma; expected a comma between two keys"
        return source.problem(at.line + 1, at.column + 1, 1, message)
    if "flow sequence" in context or "flow mapping" in context:
        ends = "]" if "sequence" in context else "}"
        message = f"the bracket that begins here is never closed; expected {ends} or a comma"
        return source.problem(mark.line + 1, mark.column + 1, 1, message)
    return None


def _opened_above(before: str, line: int, source: Source) -> Problem | None:
    """The problem of a quote opened on a line above that only the last of `before` closes."""
    quote = before[-1]
    if quote not in "\"'" or before.count(quote) % 2 == 0:
        return None
    for number in range(line - 1, 0, -1):
        text = source.lines[number - 1]
        if text.count(quote) % 2 == 1:
            message = (
                f"the quote that begins here is closed only by the first one of line {line}; "
                "expected the same quote again where the text ends"
            )
            return source.problem(number, text.rindex(quote) + 1, 1, message)
    return None


def _second_colon(error: Any, source: Source) -> bool:
    at, begun = error.problem_mark, error.context_mark
    return (
        at is not None
        and at.line == begun.line
        and source.lines[at.line][at.column : at.column + 1] == ":"
    )


def _no_colon(what: str, line: int, source: Source) -> Problem | None:
    """The problem of a line without a colon, which the parser notices only at the next one."""
    is_told = "mapping values" in what or "could not find expected ':'" in what
    if not is_told or not 1 < line <= len(source.lines):
        return None
    text = source.lines[line - 2]
    bare = text.strip()
    if not bare or bare.startswith("#") or ": " in text or text.endswith(":"):
        return None
    column = len(text) - len(text.lstrip()) + 1
    message = "no colon and space after the key; expected KEY: VALUE"
    return source.problem(line - 1, column, len(bare), message)


def _last_line(source: Source) -> tuple[int, int]:
    for number in range(len(source.lines), 0, -1):
        if source.lines[number - 1].strip():
            return number, len(source.lines[number - 1].rstrip()) + 1
    return 1, 1
