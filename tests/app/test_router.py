"""The key router: what each key does, sentence by sentence."""

from __future__ import annotations

import pytest

from trainer.app.router import FADE, LINE_MAX, Ask, Draft, Note, Output, Router


def typed(router: Router, text: str, step: int = 0, challenge: str = "") -> list[Output]:
    """Feed the characters of `text`, a space as the space key, one after the other."""
    out: list[Output] = []
    for character in text:
        key = "space" if character == " " else character
        out += router.feed(key, character, step, challenge)
    return out


def entered(router: Router, step: int = 0, challenge: str = "") -> list[Output]:
    return router.feed("enter", "\r", step, challenge)


@pytest.mark.parametrize(
    ("text", "control", "value"),
    [
        ("143h", "heading", "143"),
        ("160s", "speed", "160"),
        ("3000a", "altitude", "3000"),
        ("-700v", "vertical speed", "-700"),
        ("143c", "course", "143"),
        ("110.35t", "frequency", "110.35"),
        ("1009q", "altimeter", "1009"),
        ("225m", "minimums", "225"),
        ("137e", "final speed", "137"),
    ],
)
def test_a_number_before_the_key_turns_the_selector(text: str, control: str, value: str) -> None:
    assert typed(Router(), text) == [Draft("set", control, value)]


@pytest.mark.parametrize(
    ("key", "control"),
    [
        ("h", "heading mode"),
        ("n", "nav mode"),
        ("l", "localizer mode"),
        ("p", "approach mode"),
        ("a", "altitude hold"),
        ("v", "vertical speed mode"),
        ("d", "descend mode"),
        ("s", "speed mode"),
        ("S", "autothrust off"),
        ("z", "autopilot"),
        ("Z", "autopilot off"),
        ("D", "flight director"),
        ("G", "go-around"),
        ("i", "identify"),
    ],
)
def test_the_key_alone_presses_the_button(key: str, control: str) -> None:
    assert typed(Router(), key) == [Draft("press", control)]


def test_flaps_are_selected_by_the_name_of_the_stage() -> None:
    assert typed(Router(), "22f") == [Draft("move", "flaps", "22")]


def test_torque_is_a_number_and_its_key_and_the_propellers_are_a_lever() -> None:
    assert typed(Router(), "46y") == [Draft("set", "torque", "46")]
    assert typed(Router(), "P") == [Draft("move", "propellers", "toggle")]
    assert typed(Router(), "I") == [Draft("move", "ice protection", "toggle")]


def test_flaps_alone_go_one_stage_out_and_shifted_one_stage_in() -> None:
    assert typed(Router(), "f") == [Draft("move", "flaps", "next")]
    assert typed(Router(), "F") == [Draft("move", "flaps", "previous")]


@pytest.mark.parametrize(
    ("key", "control", "gesture"),
    [
        ("g", "gear", "toggle"),
        ("b", "speedbrake", "toggle"),
        ("B", "spoilers", "toggle"),
        ("k", "autobrake", "next"),
        ("r", "reverse", "toggle"),
    ],
)
def test_levers_move_without_a_number(key: str, control: str, gesture: str) -> None:
    assert typed(Router(), key) == [Draft("move", control, gesture)]


def test_what_is_typed_so_far_can_be_seen() -> None:
    router = Router()
    typed(router, "300")
    assert router.entry == "300"
    assert router.state == "knob"


def test_the_number_is_used_up_by_its_key() -> None:
    router = Router()
    typed(router, "143h")
    assert router.entry == ""
    assert typed(router, "h") == [Draft("press", "heading mode")]


def test_backspace_takes_the_last_character_back() -> None:
    router = Router()
    typed(router, "168")
    router.feed("backspace", None, 0)
    assert typed(router, "0s") == [Draft("set", "speed", "160")]


def test_a_number_fades_after_eight_seconds() -> None:
    router = Router()
    typed(router, "160", step=100)
    assert not router.tick(100 + FADE - 1)
    assert router.tick(100 + FADE)
    assert FADE == 80
    assert typed(router, "s", step=200) == [Draft("press", "speed mode")]


def test_each_digit_starts_the_eight_seconds_again() -> None:
    router = Router()
    typed(router, "1", step=0)
    typed(router, "6", step=60)
    assert not router.tick(100)


def test_a_number_before_a_key_that_takes_none_is_dropped_with_a_note_and_the_press_acts() -> None:
    note, draft = typed(Router(), "160p")
    assert draft == Draft("press", "approach mode")
    assert isinstance(note, Note)
    assert "160" in note.text


def test_a_selector_without_a_button_asks_for_the_number_first() -> None:
    (note,) = typed(Router(), "c")
    assert isinstance(note, Note)
    assert "143c" in note.text


def test_a_lonely_sign_or_point_is_no_number() -> None:
    note, draft = typed(Router(), "-h")
    assert isinstance(note, Note)
    assert draft == Draft("press", "heading mode")


def test_a_minus_sign_comes_first_and_a_point_once() -> None:
    router = Router()
    assert isinstance(typed(router, "1-")[-1], Note)
    assert router.entry == "1"
    typed(router, ".")
    assert isinstance(typed(router, ".")[-1], Note)
    assert router.entry == "1."


def test_a_number_has_an_end() -> None:
    router = Router()
    assert isinstance(typed(router, "123456789")[-1], Note)
    assert router.entry == "12345678"


def test_space_opens_the_say_line_and_enter_sends_it_with_the_step_of_the_space() -> None:
    router = Router()
    router.feed("space", " ", 100)
    assert router.state == "say"
    assert router.is_line_open
    assert typed(router, "glide alive", step=120) == []
    assert entered(router, 140) == [Draft("say", text="glide alive", began=100)]
    assert router.state == "knob"


def test_while_the_say_line_is_open_every_letter_and_digit_goes_to_it() -> None:
    router = Router()
    router.feed("space", " ", 0)
    assert typed(router, "hGpzZ143h?+=.-j") == []
    assert router.entry == "hGpzZ143h?+=.-j"


def test_an_empty_say_line_is_cancelled_by_enter() -> None:
    router = Router()
    router.feed("space", " ", 0)
    out = entered(router)
    assert all(isinstance(one, Note) for one in out)
    assert router.state == "knob"


def test_leading_spaces_do_not_count_as_words() -> None:
    router = Router()
    typed(router, "   ")
    assert router.entry == ""
    assert router.state == "say"


def test_space_forgets_a_pending_number() -> None:
    router = Router()
    typed(router, "160")
    router.feed("space", " ", 0)
    entered(router)
    assert typed(router, "s") == [Draft("press", "speed mode")]


def test_backspace_edits_the_line_and_never_closes_it() -> None:
    router = Router()
    typed(router, " a")
    for _ in range(3):
        router.feed("backspace", None, 0)
    assert router.entry == ""
    assert router.state == "say"


def test_a_line_has_an_end() -> None:
    router = Router()
    router.feed("space", " ", 0)
    out = typed(router, "x" * (LINE_MAX + 1))
    assert isinstance(out[-1], Note)
    assert len(router.entry) == LINE_MAX


def test_enter_with_nothing_open_opens_a_read_back_timed_then() -> None:
    router = Router()
    assert entered(router, 50) == []
    assert router.state == "read back"
    typed(router, "cleared ILS 14", step=60)
    assert entered(router, 70) == [Draft("read back", text="cleared ILS 14", began=50)]


def test_enter_while_a_checklist_is_being_read_confirms_its_line() -> None:
    assert entered(Router(), 5, challenge="gear") == [Draft("line")]


def test_a_call_can_be_made_while_a_checklist_is_being_read() -> None:
    router = Router()
    router.feed("space", " ", 5, "gear")
    typed(router, "three green", 6, "gear")
    assert entered(router, 7, challenge="gear") == [Draft("say", text="three green", began=5)]


def test_a_read_back_can_be_opened_by_its_own_key_while_a_checklist_is_being_read() -> None:
    router = Router()
    typed(router, "R", step=9, challenge="gear")
    assert router.state == "read back"
    typed(router, "cleared to land 14", 10, "gear")
    assert entered(router, 11, challenge="gear") == [
        Draft("read back", text="cleared to land 14", began=9)
    ]


def test_the_checklist_key_begins_the_next_list_or_the_numbered_one() -> None:
    assert typed(Router(), "j") == [Draft("checklist")]
    assert typed(Router(), "2j") == [Draft("checklist", value="2")]


@pytest.mark.parametrize(("key", "what"), [("f2", "pause"), ("f3", "skip"), ("f10", "leave")])
def test_function_keys_ask_the_app_even_while_a_line_is_open(key: str, what: str) -> None:
    router = Router()
    router.feed("space", " ", 0)
    assert router.feed(key, None, 1) == [Ask(what)]
    assert router.state == "say"


def test_plus_and_equals_ask_for_the_speed_of_time() -> None:
    assert typed(Router(), "+") == [Ask("faster")]
    assert typed(Router(), "=") == [Ask("real time")]


def test_the_question_mark_asks_for_help_and_clears_a_number() -> None:
    router = Router()
    assert typed(router, "12?") == [Ask("help")]
    assert router.entry == ""


@pytest.mark.parametrize("key", ["tab", "up", "f5", "ctrl+a", "insert"])
def test_keys_without_a_meaning_do_nothing(key: str) -> None:
    router = Router()
    control = "\t" if key == "tab" else None
    assert router.feed(key, control, 0) == []
    router.feed("space", " ", 0)
    assert router.feed(key, control, 0) == []
    assert router.entry == ""


def test_a_letter_without_a_meaning_says_so() -> None:
    assert typed(Router(), "_") == [Note("no key _; ? shows the keys")]
    assert typed(Router(), "Q") == [Note("no key Q; q is altimeter; ? shows the keys")]


def test_a_key_in_the_wrong_case_keeps_the_number_for_the_right_one() -> None:
    note, draft = typed(Router(), "110.35Tt")
    assert note == Note("no key T; t is frequency; ? shows the keys")
    assert draft == Draft("set", "frequency", "110.35")


def test_escape_drops_a_line_or_a_number() -> None:
    router = Router()
    typed(router, "160")
    assert router.feed("escape", "\x1b", 0) == []
    assert router.entry == ""
    for opened in ("space", "enter"):
        router.feed(opened, None, 0)
        typed(router, "glide")
        assert router.feed("escape", "\x1b", 0) == [Note("nothing said")]
        assert not router.is_line_open


def test_accents_arrive_in_the_line_as_typed() -> None:
    router = Router()
    router.feed("space", " ", 0)
    typed(router, "é")
    assert router.entry == "é"


def test_invisible_characters_never_reach_the_line() -> None:
    router = Router()
    router.feed("space", " ", 0)
    for character in ("\u202e", "\x07", "\u200b", "\x1b"):
        router.feed("x", character, 0)
    assert router.entry == ""


def test_pasted_text_is_ignored_and_said_to_be() -> None:
    router = Router()
    (note,) = router.paste()
    assert isinstance(note, Note)
    assert router.entry == ""


# History and completion -------------------------------------------------------------------------


def say(router: Router, text: str) -> None:
    router.feed("space", " ", 0)
    for character in text:
        router.feed("space" if character == " " else character, character, 0)


def test_the_arrows_bring_back_earlier_calls_and_an_empty_line_below_the_newest() -> None:
    router = Router()
    for text in ("glide alive", "gear down", "gear down"):
        say(router, text)
        router.feed("enter", None, 0)
    router.feed("space", " ", 5)
    shown = []
    for key in ("up", "up", "up", "down", "down", "down"):
        router.feed(key, None, 6)
        shown.append(router.entry)
    assert shown == ["gear down", "glide alive", "glide alive", "gear down", "", ""]
    router.feed("up", None, 7)
    assert router.feed("enter", None, 8) == [Draft("say", text="gear down", began=5)]


def test_tab_goes_through_the_calls_that_begin_so_and_back_to_what_was_typed() -> None:
    router = Router(phrases=("glide alive", "glide captured", "gear down"))
    say(router, "gl")
    assert router.feed("tab", "\t", 0) == [Note("Tab: 1 more")]
    shown = [router.entry]
    for _ in range(3):
        router.feed("tab", "\t", 0)
        shown.append(router.entry)
    assert shown == ["glide alive", "glide captured", "gl", "glide alive"]
    say(router, "x")
    assert router.feed("tab", "\t", 0) == [Note("no call begins so")]


def test_without_phrases_tab_does_nothing() -> None:
    router = Router()
    say(router, "gl")
    assert router.feed("tab", "\t", 0) == []
    assert router.entry == "gl"
