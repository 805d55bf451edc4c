"""Calls by intent and slots: what is understood, what is refused, and what is never confused."""

from __future__ import annotations

import pickle
import string
from collections import defaultdict
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.errors import FileProblems
from trainer.guidance import modes
from trainer.scenario import compose, lessons, library
from trainer.scenario.phrase_check import SAMPLE_NAMES, SAMPLES, phrase_problems, sample
from trainer.scenario.phrases import Call, PhraseBook, PhraseError
from trainer.scenario.spelling import one_letter_apart, split_words
from trainer.scenario.words import FILLERS, NEGATIONS, READ_BACKS, SLOTS

HOUSE = Path(__file__).parents[2] / "scenarios" / "houses" / "standard.yaml"


@cache
def house() -> dict[str, Any]:
    loaded = yaml.safe_load(HOUSE.read_text(encoding="utf-8"))
    assert isinstance(loaded, dict)
    return loaded


@cache
def book() -> PhraseBook:
    return PhraseBook(
        house()["words"],
        house()["short"],
        {
            "fix": ["TULEP", "ROMUK"],
            "ident": ["QXM", "QXW"],
            "callsign": ["Quill 21"],
            "mode": [SAMPLES["mode"]],
            "clearance": [SAMPLES["clearance"]],
        },
    )


def heard(text: str) -> list[str]:
    """The calls as text: the intent, then its slots."""
    return [
        " ".join([call.intent, *(f"{slot}={value}" for slot, value in call.slots)])
        for call in book().hear(text).calls
    ]


# --- one call -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "call"),
    [
        ("localizer alive", "localizer alive"),
        ("LOC alive", "localizer alive"),
        ("Localiser alive.", "localizer alive"),
        ("gs armed", "glide armed"),
        ("gp armed", "glide armed"),
        ("glide slope armed", "glide armed"),
        ("glide path armed", "glide armed"),
        ("the glideslope is armed", "glide armed"),
        ("armed glide", "glide armed"),
        ("path armed", "path armed"),
        ("alt cap", "altitude capture"),
        ("V/S", "vertical speed"),
        ("AP off", "autopilot off"),
        ("thrust idle", "thrust idle"),
        ("speed mode", "speed mode"),
        ("speed", "speed"),
        ("1000 stable", "one thousand stable"),
        ("one thousand stabilized", "one thousand stable"),
        ("One thousand, unstable", "one thousand not stable"),
        ("one thousand, sink rate", "one thousand not stable"),
        ("five hundred, stable", "five hundred"),
        ("500", "five hundred"),
        ("five hundred not stable", "five hundred not stable"),
        ("100 above", "approaching minimums"),
        ("minima", "minimums"),
        ("go-around", "go around"),
        ("goaround", "go around"),
        ("go around mode", "go-around"),
        ("no spoilers", "no spoilers"),
        ("glide, flag", "glide flag"),
        ("I have control", "i have control"),
        ("you have control", "you have control"),
        ("one to go", "one to go"),
        ("flap 22", "flap stage=22"),
        ("flaps twenty two", "flap stage=22"),
        ("4,000 set", "altitude set altitude=4000"),
        ("four thousand set", "altitude set altitude=4000"),
        ("missed approach three thousand feet set", "missed approach set altitude=3000"),
        ("QNH one zero zero nine set", "altimeter set setting=1009"),
        ("altimeter 1009", "read back altimeter setting=1009"),
        ("TULEP 2500", "fix check fix=TULEP altitude=2500"),
        ("tulep at two thousand five hundred feet", "fix check fix=TULEP altitude=2500"),
        ("2500 TULEP", "fix check fix=TULEP altitude=2500"),
        ("ILS QXM identified", "identified ident=QXM"),
        ("QXM identified", "identified ident=QXM"),
        ("ident QXM", "identified ident=QXM"),
        ("QXM ident", "identified ident=QXM"),
        ("course 143", "course course=143"),
        ("frequency one one zero decimal three five", "frequency set frequency=110.35"),
        ("cleared ILS approach runway 14", "read back approach runway=14"),
        ("cleared approach one four", "read back approach runway=14"),
        ("cleared to land runway one four left", "read back land runway=14L"),
        ("cleared to land 14L", "read back land runway=14L"),
        ("cleared to land", "read back land"),
        ("descend to altitude 3000 ft", "read back descend altitude=3000"),
        ("turn right heading zero five zero", "read back heading heading=050"),
        ("heading", "heading"),
        ("intercept localizer runway 14", "read back intercept localizer runway=14"),
        ("speed 160 kt until 5 miles", "read back speed speed=160 distance=5"),
        ("speed 160 until TULEP", "read back speed speed=160 fix=TULEP"),
        ("Quill 21, going around", "going around"),
        ("number one, continue approach", "read back continue approach"),
        ("requesting approach clearance", "request approach clearance"),
    ],
)
def test_a_call_is_understood_in_its_usual_forms(said: str, call: str) -> None:
    assert heard(said) == [call]
    assert book().hear(said).unknown == ()


def test_capitals_accents_and_stops_do_not_matter() -> None:
    assert heard("  LÓCALIZER — Captured!! ") == ["localizer captured"]


def test_a_callsign_before_or_after_a_read_back_is_only_an_address() -> None:
    assert heard("quill 21 cleared to land 14") == ["read back land runway=14"]
    assert heard("cleared to land 14, Quill two one") == ["read back land runway=14"]


# --- several calls --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "calls"),
    [
        ("localizer armed, glide captured", ["localizer armed", "glide captured"]),
        ("localizer captured, glide armed", ["localizer captured", "glide armed"]),
        ("localizer captured glide armed", ["localizer captured", "glide armed"]),
        ("loc armed gs armed", ["localizer armed", "glide armed"]),
        ("localizer and glide captured", ["localizer captured", "glide captured"]),
        ("localizer and glide armed", ["localizer armed", "glide armed"]),
        ("flare and rollout armed", ["flare armed", "rollout armed"]),
        ("nav, glide armed", ["nav", "glide armed"]),
        (
            "glide captured, missed approach 4000 set",
            ["glide captured", "missed approach set altitude=4000"],
        ),
        (
            "glide captured missed approach 4000 set",
            ["glide captured", "missed approach set altitude=4000"],
        ),
        ("one to go, 4000 set", ["one to go", "altitude set altitude=4000"]),
        ("speed checked, flap 22", ["speed checked", "flap stage=22"]),
        ("flap 36, speed 137", ["flap stage=36", "read back speed speed=137"]),
        ("gear down, three green", ["gear down", "three green"]),
        ("gear down three green", ["gear down", "three green"]),
        ("go around, flap 22", ["go around", "flap stage=22"]),
        ("ILS QXM identified, course 143", ["identified ident=QXM", "course course=143"]),
        (
            "descend 3000, QNH 1009",
            ["read back descend altitude=3000", "read back altimeter setting=1009"],
        ),
        (
            "heading 110 intercept localizer runway 14",
            ["read back heading heading=110", "read back intercept localizer runway=14"],
        ),
        ("heading 110 speed", ["read back heading heading=110", "speed"]),
        ("go around, go around", ["go around"]),
    ],
)
def test_an_utterance_may_hold_several_calls(said: str, calls: list[str]) -> None:
    assert heard(said) == calls
    assert book().hear(said).unknown == ()


def test_equal_sets_of_words_stay_different_utterances() -> None:
    first, second = "localizer armed, glide captured", "localizer captured, glide armed"
    assert set(split_words(first)) == set(split_words(second))
    assert heard(first) != heard(second)


def test_two_equally_good_readings_mean_say_again() -> None:
    answer = book().hear("localizer glide captured")
    assert answer.calls == ()
    assert answer.unknown == ("localizer", "glide", "captured")


def test_an_ambiguous_clause_leaves_the_others_understood() -> None:
    answer = book().hear("gear down, localizer glide captured")
    assert [call.intent for call in answer.calls] == ["gear down"]
    assert answer.unknown == ("localizer", "glide", "captured")


# --- not understood -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "unknown"),
    [
        ("wibble", ("wibble",)),
        ("localizer wibble captured", ("wibble",)),
        ("nstable one thousand", ("nstable",)),
        ("identified qzz", ("qzz",)),
        ("NOPES 2500", ("nopes",)),
        ("glide stable", ("glide", "stable")),
        ("glide not captured", ("glide", "not", "captured")),
        ("heading 400 500", ("heading", "400", "500")),
        ("flap", ("flap",)),
        ("one thousand", ("1000",)),
    ],
)
def test_what_is_not_understood_is_asked_again_and_makes_no_call(
    said: str, unknown: tuple[str, ...]
) -> None:
    assert book().hear(said).calls == ()
    assert book().hear(said).unknown == unknown


def test_an_unknown_word_spoils_only_its_own_clause() -> None:
    answer = book().hear("localizer armed wibble, glide captured")
    assert [call.intent for call in answer.calls] == ["glide captured"]
    assert answer.unknown == ("wibble",)


def test_a_negation_is_never_left_out_to_make_sense_of_the_rest() -> None:
    for said in ("spoilers, not", "decelerating, no", "no wibble, decelerating"):
        assert book().hear(said).calls == (), said
        assert book().hear(said).unknown, said
    assert heard("one thousand stable, not") == ["one thousand not stable"]


def test_a_negation_in_the_middle_of_a_clause_belongs_to_what_stands_before() -> None:
    assert heard("runway not in sight") == ["not in sight"]
    assert heard("glide no spoilers") == []
    assert heard("three green, no reverse") == ["three green", "no reverse"]


def test_no_filler_negates_or_is_one_letter_from_a_negation() -> None:
    for filler in FILLERS:
        assert filler not in NEGATIONS
        assert not filler.startswith("un")
        assert not any(one_letter_apart(filler, negation) for negation in NEGATIONS), filler


def test_nothing_said_is_nothing_heard() -> None:
    for said in ("", "   ", "?", ",,", "please", "…"):
        assert book().hear(said).calls == ()
        assert book().hear(said).unknown == ()


def test_a_very_long_utterance_is_refused_whole() -> None:
    answer = book().hear("glide captured " * 60)
    assert answer.calls == ()
    assert answer.unknown


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=60) | st.lists(st.sampled_from(("one", "no", "glide", ",", "and", "set",
    "hundred", "thousand", "decimal", "22", "armed", "next", "14l", "quill", "21")), max_size=12
    ).map(" ".join))  # fmt: skip
def test_any_text_at_all_gets_an_answer_and_always_the_same(text: str) -> None:
    fresh = PhraseBook({"glide armed": ["glide armed"], "flap": ["flap {stage}"]}, {})
    assert fresh.hear(text) == fresh.hear(text)
    assert book().hear(text) == book().hear(text)


# --- no claim -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "calls", "expected"),
    [
        ("looking for glide captured", [], ["glide captured"]),
        ("glide captured next", [], ["glide captured"]),
        ("next glide captured", [], ["glide captured"]),
        ("expect localizer captured", [], ["localizer captured"]),
        ("standing by for glide captured", [], ["glide captured"]),
        ("glide captured?", [], ["glide captured"]),
        ("localizer captured, glide captured next", ["localizer captured"], ["glide captured"]),
        ("localizer captured and looking for glide alive", ["localizer captured"], ["glide alive"]),
        ("expecting glide armed, path armed", ["path armed"], ["glide armed"]),
    ],
)
def test_an_expectation_or_a_question_makes_no_claim(
    said: str, calls: list[str], expected: list[str]
) -> None:
    answer = book().hear(said)
    assert [call.intent for call in answer.calls] == calls
    assert [call.intent for call in answer.expectations] == expected


# --- saying ---------------------------------------------------------------------------------


def test_every_intent_is_heard_as_it_is_said() -> None:
    for intent in book().intents:
        slots = {slot: SAMPLES[slot] for slot in book().slots_of(intent)}
        spoken = book().spoken_form(intent, slots)
        answer = book().hear(spoken)
        assert [call.intent for call in answer.calls] == [intent], spoken
        for slot, value in answer.calls[0].slots:
            assert value == slots[slot]


def test_the_shortest_phrase_with_all_its_slots_is_said() -> None:
    say = book().spoken_form
    assert say("altitude set", {"altitude": "4000"}) == "4000 set"
    assert say("read back land", {"runway": "14"}) == "cleared to land 14"
    assert say("read back land") == "cleared to land"
    assert say("read back speed", {"speed": "160", "distance": "5"}) == "speed 160 until 5"
    assert say("read back speed", (("speed", "160"),)) == "speed 160"
    assert say("thrust idle") == "idle"


def test_saying_without_a_needed_slot_is_refused() -> None:
    with pytest.raises(ValueError, match="flap: cannot be said without stage"):
        book().spoken_form("flap")
    with pytest.raises(KeyError):
        book().spoken_form("sing")


def test_every_clearance_has_its_read_back() -> None:
    for clearance, intent in READ_BACKS.items():
        slots = {slot: SAMPLES[slot] for slot in book().slots_of(intent)}
        answer = book().hear(book().read_back_text(clearance, slots))
        assert [call.intent for call in answer.calls] == [intent]


def test_an_intent_is_found_by_name_or_by_phrase() -> None:
    assert book().intent_of("localizer alive") == "localizer alive"
    assert book().intent_of("flap {stage}") == "flap"
    assert book().intent_of("missed approach {altitude} set") == "missed approach set"
    assert book().intent_of("{fix} {altitude}") == "fix check"
    assert book().intent_of("requesting approach clearance") == "request approach clearance"
    assert book().intent_of("wibble") == ""
    assert book().intent_of("flap {wibble}") == ""


# --- the house file -------------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted(HOUSE.parent.glob("*.yaml")), ids=lambda path: path.stem)
def test_a_shipped_house_has_no_problem(path: Path) -> None:
    """It is not tried again when an exercise is composed, so it must be here."""
    found = yaml.safe_load(path.read_text(encoding="utf-8"))
    assert phrase_problems(found["words"], found["short"]) == ()


def test_only_a_house_that_did_not_come_with_the_program_is_tried(tmp_path: Path) -> None:
    lessons._problems.cache_clear()
    shipped = library.default_library()
    compose.load("straight-in", shipped)
    assert lessons._problems.cache_info().misses == 0
    (tmp_path / "houses").mkdir()
    own = tmp_path / "houses" / "standard.yaml"
    own.write_text(HOUSE.read_text(encoding="utf-8"), encoding="utf-8")
    with_own = library.Library((tmp_path, *shipped.roots))
    compose.load("straight-in", with_own)
    assert lessons._problems.cache_info().misses == 1
    text = own.read_text(encoding="utf-8").replace("[gear down, gear", "[next gear down, gear")
    own.write_text(text, encoding="utf-8")
    with pytest.raises(FileProblems, match="is not heard as 'gear down'"):
        compose.load("straight-in", with_own)


def test_the_standard_house_is_called_so() -> None:
    assert house()["house"] == "standard"
    assert house()["format"] == 1


def test_every_short_form_is_heard_as_its_phrase() -> None:
    for short, phrase in house()["short"].items():
        values = [SAMPLES[part] for part in SLOTS if "{" + part + "}" in phrase]
        said = " ".join([short, *values])
        intents = [call.intent for call in book().hear(said).calls]
        assert intents == [book().intent_of(phrase)], said
    assert heard("la ga") == ["localizer alive", "glide alive"]
    assert heard("gc, missed approach 4000 set")[0] == "glide captured"


def test_a_short_form_inside_a_spelled_out_call_is_no_short_form() -> None:
    assert book().hear("sa again").calls == ()


MODE_CALLS = {
    "lateral": {
        "HDG": "heading", "NAV": "nav", "LOC": "localizer captured", "VOR": "vor captured",
        "ALIGN": "align", "ROLLOUT": "rollout", "GA": "go-around",
    },
    "vertical": {
        "ALT": "altitude hold", "ALT CAP": "altitude capture", "VS": "vertical speed",
        "DESCEND": "descend", "CLIMB": "climb", "PATH": "path captured",
        "GLIDE": "glide captured", "FLARE": "flare", "GA": "go-around",
    },
    "thrust": {
        "SPEED": "speed mode", "CLIMB": "thrust climb", "IDLE": "thrust idle",
        "GA": "go-around thrust", "OFF": "autothrust off",
    },
    "engagement": {
        "OFF": "autopilot off", "FD": "flight director", "AP": "autopilot on",
        "AP BOTH": "autopilot both",
    },
    "capability": {
        "PASSIVE": "passive", "OPERATIONAL": "operational", "LPV": "lpv",
        "LNAV/VNAV": "lnav vnav", "LNAV": "lnav",
    },
    "lateral armed": {
        "LOC": "localizer armed", "NAV": "nav armed", "VOR": "vor armed",
        "ALIGN": "align armed", "ROLLOUT": "rollout armed",
    },
    "vertical armed": {"PATH": "path armed", "GLIDE": "glide armed", "FLARE": "flare armed"},
}  # fmt: skip


def test_every_word_of_the_annunciator_can_be_called() -> None:
    shown = {
        "lateral": modes.LATERAL,
        "vertical": modes.VERTICAL,
        "thrust": modes.THRUST,
        "engagement": modes.ENGAGEMENT,
        "capability": modes.CAPABILITY,
        "lateral armed": modes.LATERAL_ARMED,
        "vertical armed": modes.VERTICAL_ARMED,
    }
    for column, words in shown.items():
        for word in filter(None, words):
            assert MODE_CALLS[column][word] in book().intents


# --- bad books ------------------------------------------------------------------------------


def test_a_phrase_of_two_intents_is_refused() -> None:
    words = {"glide armed": ["glide armed"], "other": ["GS is armed"]}
    with pytest.raises(PhraseError, match="other: 'GS is armed' already means 'glide armed'"):
        PhraseBook(words, {})
    assert [problem.where for problem in phrase_problems(words, {})] == ["words.other.1"]


def test_phrases_that_differ_in_a_number_slot_only_are_refused() -> None:
    words = {"one": ["{altitude} set"], "two": ["{speed} set"]}
    with pytest.raises(PhraseError, match="two: "):
        PhraseBook(words, {})


def test_every_problem_of_a_house_is_reported_in_one_run() -> None:
    words = {
        "good": ["glide armed"],
        "slot": ["flap {flaps}"],
        "empty": ["the"],
        "expects": ["glide captured next"],
    }
    short = {"x": "glide armed", "gs": "glide armed", "zz": "no such thing", "er": "glide armed"}
    assert [problem.where for problem in phrase_problems(words, short)] == [
        "words.slot.1",
        "words.empty.1",
        "words.expects.1",
        "short.x",
        "short.gs",
        "short.zz",
        "short.er",
    ]


def test_names_that_are_not_listed_are_taken_as_said_in_a_phrase_with_words() -> None:
    loose = PhraseBook({"identified": ["identified {ident}"], "fix": ["{fix} {altitude}"]}, {})
    assert loose.hear("identified abc").calls == (Call("identified", (("ident", "ABC"),)),)
    assert loose.hear("tulep 2500").calls == ()


def test_a_book_can_be_sent_to_another_process() -> None:
    again = pickle.loads(pickle.dumps(book()))
    assert again.hear("flap 22") == book().hear("flap 22")
    assert book().hear("flap 22").calls[0].slot("stage") == "22"
    assert book().hear("flap 22").calls[0].slot("runway") == ""


# --- never confused -------------------------------------------------------------------------


def errors(word: str) -> list[str]:
    """Every omission, substitution, insertion and neighbouring swap of one letter."""
    found: dict[str, None] = {}
    for at in range(len(word) + 1):
        for letter in string.ascii_lowercase:
            found[word[:at] + letter + word[at:]] = None
            found[word[:at] + letter + word[at + 1 :]] = None
        found[word[:at] + word[at + 1 :]] = None
        found[word[:at] + word[at + 1 : at + 2] + word[at : at + 1] + word[at + 2 :]] = None
    return [error for error in found if error not in (word, "")]


@cache
def taken_for(word: str) -> dict[str, list[str]]:
    """The errors of a word by what they are corrected to; one of each kind stands for all."""
    groups: dict[str, list[str]] = defaultdict(list)
    for error in errors(word):
        groups[book().nearest(error)].append(error)
    return groups


def every_phrase() -> list[tuple[str, str, list[str]]]:
    return [
        (intent, phrase, split_words(sample(phrase)))
        for intent in book().intents
        for phrase in book().phrases(intent)
    ]


def test_one_wrong_letter_is_allowed_in_words_of_five_letters_and_more() -> None:
    assert heard("glide alvie") == heard("glyde alive") == heard("glide alive") != []
    assert heard("gera down") == heard("geer down") == [], "four letters are too few to guess by"
    assert heard("glyde alvie") == ["glide alive"], "one in each word"
    assert heard("glide alvi") == [], "two in one word are too many"


def test_no_single_wrong_letter_turns_a_call_into_another() -> None:
    tried = understood = 0
    confused: list[str] = []
    for intent, phrase, words in every_phrase():
        for at, word in enumerate(words):
            if not word.isalpha():
                continue
            for group in taken_for(word).values():
                answer = book().hear(" ".join([*words[:at], group[0], *words[at + 1 :]]))
                intents = [call.intent for call in answer.calls]
                tried += len(group)
                understood += len(group) * (intents == [intent] and not answer.unknown)
                if any(other != intent for other in intents):
                    confused.append(f"{phrase!r} with {group[0]!r} is taken for {intents}")
    share = understood / tried
    figures = f"{tried} errors, {share:.1%} understood, {len(confused)} confused: {confused}"
    print(figures)
    assert not confused, figures
    assert tried > 50_000, figures
    assert share >= 2 / 3, figures


SHORTENED_TO_ANOTHER = {
    # Leaving one word out gives another call of the house, word for word.
    ("localizer alive", "localizer"), ("glide alive", "glide"), ("localizer flag", "localizer"),
    ("localizer flagged", "localizer"), ("glide flag", "glide"), ("glide flagged", "glide"),
    ("nav armed", "nav"), ("localizer armed", "localizer"), ("localizer captured", "localizer"),
    ("align armed", "align"), ("rollout armed", "rollout"), ("altitude hold", "decision"),
    ("vertical speed", "speed"), ("vertical speed mode", "speed mode"), ("glide armed", "glide"),
    ("path captured", "path"), ("path armed", "path"),
    ("glide captured", "glide"), ("flare armed", "flare"), ("go-around mode", "go around"),
    ("go-around shown", "go around"), ("speed mode", "speed"), ("thrust climb", "climb"),
    ("thrust climb", "thrust"), ("climb thrust", "thrust"), ("climb thrust", "climb"),
    ("thrust idle", "thrust"), ("idle thrust", "thrust"), ("go-around thrust", "go around"),
    ("both autopilots on", "autopilot on"), ("spoilers armed", "spoilers"),
    ("speed checked", "checked"), ("speed checked", "speed"), ("torque checked", "checked"),
    ("altimeter {setting} set", "altitude set"),
    ("altimeter {setting} set", "read back altimeter"),
    ("heading {heading} set", "read back heading"), ("speed {speed} set", "read back speed"),
    ("one thousand not stable", "one thousand stable"), ("five hundred not stable", "five hundred"),
    ("approaching minimums", "minimums"), ("no lights", "lights in sight"),
    ("no spoilers", "spoilers"), ("no reverse", "reverse"), ("not decelerating", "decelerating"),
    ("positive climb", "climb"), ("say again", "decision"), ("landing checklist", "landing"),
    ("approach checklist complete", "approach checklist"),
    ("landing checklist complete", "landing checklist"), ("go-around checklist", "go around"),
    ("intercept localizer", "localizer"), ("continue approach", "continue"),
    ("hold {fix}", "decision"), ("discontinue, maintain {altitude}", "discontinue"),
    ("heading {heading}", "heading"), ("speed {speed}", "speed"),
    ("descend {altitude}", "descend"), ("lights not in sight", "lights in sight"),
    ("runway not in sight", "runway in sight"), ("localizer only", "localizer"),
}  # fmt: skip


def test_a_word_left_out_gives_no_other_call_unless_that_is_what_was_said() -> None:
    strict = PhraseBook(house()["words"], house()["short"], SAMPLE_NAMES)
    found: set[tuple[str, str]] = set()
    for intent, phrase, words in every_phrase():
        for at in range(len(words)):
            answer = strict.hear(" ".join([*words[:at], *words[at + 1 :]]))
            found.update((phrase, c.intent) for c in answer.calls if c.intent != intent)
    assert found == SHORTENED_TO_ANOTHER


OPPOSITES: tuple[tuple[str, str], ...] = (
    ("stable", "not stable"),
    ("captured", "armed"),
    ("localizer", "glide"),
    ("glide", "path"),
    ("flare", "rollout"),
    ("alive", "captured"),
    ("down", "up"),
    ("out", "in"),
    ("on", "off"),
    ("in sight", "not in sight"),
    ("spoilers", "no spoilers"),
    ("reverse", "no reverse"),
    ("decelerating", "not decelerating"),
    ("continue", "discontinue"),
    ("passive", "operational"),
    ("five hundred", "nine hundred"),
    ("one thousand", "two thousand"),
    ("lights", "runway"),
    ("landing checklist", "approach checklist"),
    ("landing clearance", "approach clearance"),
    ("i have", "you have"),
)
"""Wordings that must never be taken for one another."""


def test_declared_opposites_are_never_taken_for_one_another() -> None:
    tried = 0
    for intent, phrase, _ in every_phrase():
        words = f" {sample(phrase).casefold()} "
        accepted = [sample(other).casefold() for other in book().phrases(intent)]
        for pair in OPPOSITES:
            for one, other in (pair, pair[::-1]):
                if f" {one} " not in words or (f" {other} " in words and one in other):
                    continue
                opposite = words.replace(f" {one} ", f" {other} ").strip()
                if opposite in accepted:  # the house lists both, word for word
                    continue
                tried += 1
                for said in (opposite, *with_one_error(opposite)):
                    intents = [call.intent for call in book().hear(said).calls]
                    assert intent not in intents, f"{said!r} is taken for {phrase!r}"
    assert tried >= 60, tried


def with_one_error(text: str) -> list[str]:
    """The text with one error of each kind in each of its words."""
    words = split_words(text)
    return [
        " ".join([*words[:at], group[0], *words[at + 1 :]])
        for at, word in enumerate(words)
        if word.isalpha()
        for group in taken_for(word).values()
    ]
