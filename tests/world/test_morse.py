"""Morse code and ident rhythm against ITU-R M.1677 and ICAO Annex 10."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.world import morse
from trainer.world.reception import TRANSMISSIONS, radiates


def test_the_table_has_letters_figures_and_no_code_twice() -> None:
    assert len(set(morse.CODE.values())) == len(morse.CODE)
    assert all(letter in morse.CODE for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789")


def test_figures_follow_the_rule_of_five_marks() -> None:
    # ITU-R M.1677: 1 to 5 begin with that many dots, 6 to 0 with that many dashes less five.
    for figure in range(10):
        dots = figure if figure <= 5 else 10 - figure
        mark, rest = (".", "-") if 0 < figure <= 5 else ("-", ".")
        lead = dots if 0 < figure <= 5 else (5 if figure == 0 else figure - 5)
        assert morse.CODE[str(figure)] == mark * lead + rest * (5 - lead)


def test_known_words_have_their_published_code() -> None:
    # ITU-R M.1677 table; PARIS is the standard word of telegraphy.
    assert morse.encode("paris") == ".--. .- .-. .. ..."
    assert morse.encode("I QXA") == ".. / --.- -..- .-"


def test_the_standard_word_is_fifty_units_long() -> None:
    # PARIS with its word gap of 7 is 50 units, by which telegraph speed is defined.
    units = morse.duration_s(morse.elements("PARIS", 1.0)) + 7
    assert units == pytest.approx(50.0)


def test_i_lasts_3_units_and_ia_11() -> None:
    # Hand calculation: I is 1+1+1; gap 3; A is 1+1+3.
    assert morse.duration_s(morse.elements("I", 1.0)) == pytest.approx(3.0)
    assert morse.duration_s(morse.elements("IA", 1.0)) == pytest.approx(11.0)


def test_gaps_are_one_three_and_seven_units() -> None:
    timed = morse.elements("IA E", 1.0)
    assert [element.duration_s for element in timed if not element.is_on] == [1, 3, 1, 7]
    assert [element.is_on for element in timed] == [index % 2 == 0 for index in range(len(timed))]


@given(st.lists(st.text(alphabet=sorted(morse.CODE), min_size=1, max_size=8), max_size=4))
def test_what_is_encoded_decodes_to_itself(words: list[str]) -> None:
    text = " ".join(words)
    assert morse.decode(morse.encode(text)) == text


def test_a_sign_without_code_is_named() -> None:
    with pytest.raises(ValueError, match="#"):
        morse.encode("a#b")
    with pytest.raises(ValueError, match=r"\.\.\.\.\.\.\."):
        morse.decode(".- .......")


def test_an_ident_keeps_the_rhythm_of_annex_10() -> None:
    # ICAO Annex 10 Vol I, 3.1.3.9.4: dot 0.1 to 0.160 s, dash three dots, at least six a minute.
    timed = morse.ident_elements("I-QXA")
    tones = sorted({element.duration_s for element in timed if element.is_on})
    assert 0.1 <= tones[0] <= 0.160
    assert tones[1] == pytest.approx(3 * tones[0])
    assert 60.0 / morse.IDENT_PERIOD_S >= 6
    assert morse.duration_s(timed) < morse.IDENT_PERIOD_S


def test_the_longest_ident_fits_its_period_even_at_the_slowest_dot() -> None:
    # Four letters of which the last three are the longest there are (13 units).
    timed = morse.ident_elements("I-QYJ", morse.DOT_MAX_S)
    assert morse.duration_s(timed) < morse.IDENT_PERIOD_S


def test_the_hyphen_is_written_and_not_sent() -> None:
    assert morse.ident_elements("I-QXA") == morse.elements("IQXA")


def test_silence_has_no_elements() -> None:
    assert morse.elements("") == ()


def test_only_a_station_in_normal_service_sends_its_ident() -> None:
    # ICAO Annex 10 Vol I, 3.1.3.9.4: no ident while the signal is not available for use.
    assert morse.sent_ident("I-QXA", "normal") == "I-QXA"
    assert morse.sent_ident("I-QXA", "maintenance") == ""
    assert morse.sent_ident("I-QXA", "failed") == ""
    with pytest.raises(ValueError, match="asleep"):
        morse.sent_ident("I-QXA", "asleep")


def test_a_station_under_maintenance_radiates_and_a_failed_one_does_not() -> None:
    assert [radiates(state) for state in TRANSMISSIONS] == [True, True, False]
    with pytest.raises(ValueError, match="asleep"):
        radiates("asleep")


def test_localizer_and_dme_share_half_a_minute_in_four_slots() -> None:
    # FAA AIM 1-1-7: the DME ident once for three or four of the other, about every 30 s; Annex 10
    # Vol I, 3.1.3.9.4: the localizer at least six times a minute.
    senders = [morse.sender_at(morse.SLOT_S * slot + 0.1) for slot in range(8)]
    assert senders == [*["localizer"] * 3, "dme", *["localizer"] * 3, "dme"]
    assert morse.SLOT_S * morse.SLOTS == morse.DME_PERIOD_S
    assert senders.count("localizer") * 60 / (8 * morse.SLOT_S) >= 6
    # The longest ident there is fits its slot.
    assert morse.duration_s(morse.ident_elements("I-QYJ")) < morse.SLOT_S
