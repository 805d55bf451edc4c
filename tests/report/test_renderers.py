"""Every renderer shows hostile text literally, and none lets it become markup or a formula."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import unicodedata
from dataclasses import fields, replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from tests.briefing.sample import exercise
from tests.report.judged import FACTS, ROWS, judgement, sample
from trainer.judge.judgement import Judgement
from trainer.report.debrief import Debrief, debrief
from trainer.report.document import document_text, judgement_json
from trainer.report.drawing import svg
from trainer.report.page import POLICY, html_page
from trainer.report.pictures import pictures, profile, speeds
from trainer.report.plain import literal, markdown, plain_text
from trainer.report.sheet import COLUMNS, csv_text, safe_cell
from trainer.text import NOTICE, is_refused, shown, width
from trainer.world.ladders import Rung

GOLDEN = Path(__file__).parent / "golden"

NASTY = [
    "[bold]brackets[/bold] [@click=app.quit]here[/]",
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    "</title></style><style>*{display:none}",
    "]]> <!-- &amp; &lt; --!>",
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "  =1+1",
    "＝1+1",
    "\t=1+1",
    "\r\n=1+1",
    "\x1b[31mred\x1b[0m \x1b]0;title\x07",
    "\x9b31m",
    "\x00 null",
    "‮gnp.exe‬ ⁦isolate⁩",
    "zero​width﻿",
    "line separator",
    "| table | cell |",
    "`code` *star* _under_ [link](javascript:alert(1)) ![x](http://x)",
    "# heading",
    "---",
    "\\",
    "日本語のテキスト",
    "a" * 300,
    "{callsign} {x.__class__} %s %(a)s $HOME",
    "𝕏 é ́",
]


def poisoned(text: str) -> Judgement:
    """The judgement with `text` in every place that can hold text from outside."""
    made = judgement()
    items = tuple(
        replace(one, item=text, area=text, expected=text, found=text, better=text, why=text,
                source=text)
        for one in made.items
    )  # fmt: skip
    watches = tuple(
        replace(one, watch=text, unit=text, why=text, source=text,
                because=one.because and text)
        for one in made.watches
    )  # fmt: skip
    gates = tuple(
        replace(
            gate,
            gate=text,
            because=text,
            failed=tuple(replace(one, criterion=text, value=text, unit=text)
                         for one in gate.failed),
        )
        for gate in made.gates
    )  # fmt: skip
    modes = tuple(replace(one, said=text, capability=text) for one in made.modes)
    return replace(
        made, exercise=text, reason=text, items=items, watches=watches, gates=gates, modes=modes,
        unmatched=(text,),
        technique=text,
    )  # fmt: skip


def nasty_debrief(text: str) -> Debrief:
    facts = [fact._replace(detail=text, name=text, reason=text) for fact in FACTS]
    return debrief(
        poisoned(text),
        exercise(title=text, lesson=text, name=text),
        ROWS,
        facts,
        [Rung(text, 4.0, 1300.0, 150.0), Rung("b", 3.0, 1000.0, 140.0)],
        {text: (text, f"gate {text} met")},
    )


def refused(text: str) -> list[str]:
    return [character for character in text if is_refused(character)]


# Terminal and Markdown --------------------------------------------------------------------------


@pytest.mark.parametrize("text", NASTY)
def test_plain_text_holds_no_character_that_a_terminal_obeys(text: str) -> None:
    page = plain_text(nasty_debrief(text))
    assert refused(page.replace("\n", "")) == []


@pytest.mark.parametrize("cells", [50, 80, 132])
@pytest.mark.parametrize("text", [*NASTY, "plain words that are long enough to wrap " * 4])
def test_no_line_of_plain_text_is_wider_than_the_terminal(text: str, cells: int) -> None:
    widest = max(width(line) for line in plain_text(nasty_debrief(text), cells).split("\n"))
    assert widest <= cells


@pytest.mark.parametrize("text", NASTY)
def test_markdown_shows_hostile_text_on_one_line_and_escaped(text: str) -> None:
    page = markdown(nasty_debrief(text))
    assert refused(page.replace("\n", "")) == []
    for special in "<[`|#*_":
        assert not re.search(rf"(?<!\\)(?:\\\\)*{re.escape(special)}", literal(text))
    for line in page.split("\n"):
        if line.startswith("| ") and line.endswith(" |"):
            columns = len(re.findall(r"(?<!\\)\|", re.sub(r"\\\\", "", line))) - 1
            assert columns in (4, 5), line


def test_markdown_escapes_what_has_a_meaning() -> None:
    assert literal("<b> [a](b) *c* _d_ `e` |f| # \\") == (
        r"\<b\> \[a\](b) \*c\* \_d\_ \`e\` \|f\| \# \\"
    )


# CSV --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", NASTY)
def test_no_cell_of_the_csv_begins_a_formula(text: str) -> None:
    rows = list(csv.DictReader(io.StringIO(csv_text(nasty_debrief(text)), newline="")))
    assert len(rows) == 1 + 6 + 2 + 1 + 1
    for row in rows:
        assert list(row) == list(COLUMNS)
        for cell in row.values():
            assert not refused(cell)
            if not re.fullmatch(r"-?\d+(\.\d+)?", cell):
                assert cell.lstrip(" ")[:1] not in tuple("=+-@＝＋－＠")


def test_a_csv_cell_keeps_its_text_behind_the_apostrophe() -> None:
    assert safe_cell("=1+1") == "'=1+1"
    assert safe_cell("  @x") == "'  @x"
    assert safe_cell("gear down") == "gear down"
    assert safe_cell("a\tb") == "a<U+0009>b"


def test_csv_numbers_stay_numbers() -> None:
    rows = list(csv.DictReader(io.StringIO(csv_text(sample()), newline="")))
    late = next(row for row in rows if row["name"] == "gear down")
    assert (late["at_s"], late["distance_nm"], late["credit"]) == ("26.0", "3.96", "0.25")
    assert (late["corrected"], late["because"]) == ("false", "")
    assert rows[-1]["kind"] == "notice"


# HTML -------------------------------------------------------------------------------------------

TAGS = (
    "html head meta title style body h1 h2 h3 p table thead tbody tr th td ul li dl dt dd svg line "
    "text polyline g circle path"
)
ATTRIBUTES = (
    "lang charset http-equiv content name class viewbox role aria-label x y x1 x2 y1 y2 cx cy r d "
    "points text-anchor"
)
ALLOWED_TAGS, ALLOWED_ATTRIBUTES = set(TAGS.split()), set(ATTRIBUTES.split())
VOID = {"meta"}


class Reader(HTMLParser):
    """Reads a page: tags, attributes, text; and whether every tag is closed in order."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.texts: list[str] = []
        self.open: list[str] = []
        self.policy = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        given = dict(attrs)
        if given.get("http-equiv") == "Content-Security-Policy":
            self.policy = given["content"] or ""
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open, tag
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    def handle_comment(self, data: str) -> None:
        raise AssertionError(f"a comment: {data}")


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


@pytest.mark.parametrize("text", NASTY)
def test_hostile_text_is_text_in_the_page_and_nothing_else(text: str) -> None:
    plain, hostile = read(html_page(nasty_debrief("plain"))), read(html_page(nasty_debrief(text)))
    assert hostile.tags == plain.tags  # no element more, none less
    assert set(hostile.tags) <= ALLOWED_TAGS
    assert {name for name, _ in hostile.attributes} <= ALLOWED_ATTRIBUTES
    said = "".join(hostile.texts)
    assert shown(text) in said
    assert refused(said.replace("\n", "")) == []


def test_the_page_is_self_contained_and_forbids_all_else() -> None:
    page = html_page(sample())
    reader = read(page)
    assert reader.policy == POLICY == "default-src 'none'; style-src 'unsafe-inline'"
    assert "script" not in reader.tags
    for word in ("http://", "https://", "url(", "@import", "src=", "href", "javascript:"):
        assert word not in page
    assert not any(name.startswith("on") for name, _ in reader.attributes)


def test_the_drawings_are_well_formed_and_mark_every_action() -> None:
    made = sample()
    for picture in (profile(made), speeds(made)):
        assert picture is not None
        root = ElementTree.fromstring(svg(picture))
        titles = [title.text for title in root.iter("title")]
        assert titles == [
            "glide alive: on time",
            "gear down: right here",
            "gear down: late",
            "landing flap: missed",
            "final speed: right here",
            "final speed: wrong, corrected",
            "approach mode: early",
        ]
        numbers = [text.text for group in root.iter("g") for text in group.iter("text")]
        assert numbers == ["1", "2", "3", "4"]


def test_every_point_of_a_drawing_lies_inside_it() -> None:
    drawn = pictures(sample())
    assert [picture.title for picture in drawn] == [
        "Vertical profile",
        "Speed and configuration",
        "Energy margin",
    ]
    for picture in drawn:
        for points in re.findall(r'points="([^"]+)"', svg(picture)):
            for pair in points.split():
                x, y = (float(part) for part in pair.split(","))
                assert 0.0 <= x <= 860.0
                assert 0.0 <= y <= 320.0


def test_the_profile_draws_the_flown_altitude_at_its_place() -> None:
    # At 5 NM the flight is at 1,642 ft. Scale by hand: 5 NM is the left edge (52), the runway
    # less 100 ft is the bottom (286), 1.1 times the highest the top (12).
    picture = profile(sample())
    assert picture is not None
    flown = re.findall(r'<polyline class="flown" points="([^ ]+)', svg(picture))[0]
    high, low = 1642.0 * 1.1, 24.0 - 100.0
    y = 12.0 + (high - 1642.0) / (high - low) * (320.0 - 12.0 - 34.0)
    assert flown == f"52.0,{y:.1f}"


def test_the_last_chance_is_drawn_beside_the_speed() -> None:
    rungs = [Rung("flap 36", 3.9, 1290.0, 151.0), Rung("checklist done", 3.0, 1010.0, 146.0)]
    made = debrief(judgement(), exercise(), ROWS, last_chance=rungs)
    picture = speeds(made)
    assert picture is not None
    root = ElementTree.fromstring(svg(picture))
    groups = [group for group in root.iter("g") if group.get("class") == "ladder"]
    titles = [title.text for group in groups for title in group.iter("title")]
    assert titles == [
        "last chance: flap 36, 3.9 NM, 151 kt",
        "last chance: checklist done, 3.0 NM, 146 kt",
    ]


def test_a_flight_without_rows_has_a_page_without_drawings() -> None:
    made = debrief(judgement(), exercise(), ())
    assert pictures(made) == ()
    assert "svg" not in read(html_page(made)).tags


# All of them ------------------------------------------------------------------------------------


def renderings(made: Debrief) -> dict[str, str]:
    return {
        "text": plain_text(made, 80),
        "md": markdown(made),
        "csv": csv_text(made),
        "html": html_page(made),
        "json": document_text(
            judgement_json(made.judgement, made.exercise, made.rows, "f00d", 1, 1)
        ),
    }


@pytest.mark.parametrize("kind", ["text", "md", "csv", "html", "json"])
def test_every_export_carries_the_notice(kind: str) -> None:
    page = renderings(sample())[kind]
    assert NOTICE in re.sub(r"\s+", " ", page)


@pytest.mark.parametrize("kind", ["text", "md", "csv", "html"])
def test_the_page_is_the_golden_one(kind: str) -> None:
    # UPDATE_GOLDENS=1 writes them anew; read the difference before committing it.
    path = GOLDEN / f"debrief.{kind}"
    if os.environ.get("UPDATE_GOLDENS"):
        path.write_bytes(renderings(sample())[kind].encode())
    assert renderings(sample())[kind] == path.read_bytes().decode()


@pytest.mark.parametrize("kind", ["text", "md", "csv", "html"])
def test_every_finding_is_in_every_export_with_what_would_have_been_accepted(kind: str) -> None:
    page = renderings(sample())[kind]
    for finding in sample().findings:
        assert finding.item in page
        assert finding.better in page


def test_the_corpus_reaches_every_text_of_a_judgement() -> None:
    """The poison must be where text can be: no field of text stays clean."""
    text = "POISON"
    made = poisoned(text)
    clean: list[str] = []

    def visit(value: Any, name: str) -> None:
        if isinstance(value, tuple):
            for one in value:
                visit(one, name)
        elif hasattr(value, "__dataclass_fields__"):
            for field in fields(value):
                visit(getattr(value, field.name), f"{name}.{field.name}")
        elif isinstance(value, str) and text not in value:
            clean.append(name)

    visit(made, "")
    closed = {"verdict", "severity", "result", "outcome", "exercise_digest", "touches", "limit"}
    closed |= {"lateral", "vertical", "lateral_armed", "vertical_armed", "thrust", "engagement"}
    assert {name.rpartition(".")[2] for name in clean} <= closed | {"areas"}
    assert unicodedata.category("‮") == "Cf"


@pytest.mark.parametrize("text", NASTY)
def test_hostile_text_comes_back_from_the_json_as_it_was(text: str) -> None:
    made = poisoned(text)
    page = document_text(judgement_json(made, exercise(), ROWS[:20], "f00d", 1, 1))
    assert page.isascii()
    read_back = json.loads(page)
    assert {one["item"] for one in read_back["items"]} == {text}
    lapses = [lapse["what"] for one in read_back["competencies"] for lapse in one["lapses"]]
    assert any(what.startswith(text) for what in lapses)
