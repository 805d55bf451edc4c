"""Identification as light: its rhythm, on the screen, and as bell where that is settled."""

from __future__ import annotations

import pytest

from tests.app.help import HandClock, Outside, screen_text
from trainer.app.app import TrainerApp
from trainer.app.launch import Start
from trainer.app.light import LOOK_S, light_of
from trainer.app.screens.flight import FlightScreen
from trainer.app.settings import Settings
from trainer.world.morse import DOT_MAX_S, DOT_MIN_S, IDENT_DOT_S, encode


def test_the_light_is_on_as_long_as_the_code_says() -> None:
    light = light_of(encode("IM"), 10.0)
    assert light is not None
    # Dot, dot; dash, dash: ITU-R M.1677-1, gap inside a letter 1, between letters 3 dots.
    wanted = "1010001110111"
    shown = "".join(
        str(int(light.is_on(10.0 + (place + 0.5) * IDENT_DOT_S))) for place in range(len(wanted))
    )
    assert shown == wanted
    assert not light.is_over(10.0 + 12.9 * IDENT_DOT_S)
    assert light.is_over(10.0 + 13.0 * IDENT_DOT_S)
    assert DOT_MIN_S <= IDENT_DOT_S <= DOT_MAX_S  # ICAO Annex 10 Vol I, 3.1.3.9.4
    assert LOOK_S <= IDENT_DOT_S / 2.0


def test_silence_has_no_light() -> None:
    assert light_of("nothing heard", 0.0) is None
    assert light_of("", 0.0) is None


@pytest.mark.parametrize("has_bell", [True, False])
async def test_the_ident_is_sent_as_light_and_rings_where_it_is_settled(
    has_bell: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = HandClock()
    app = TrainerApp(Outside(), Start("straight-in"), clock, settings=Settings(bell=has_bell))
    async with app.run_test(size=(100, 30)) as pilot:
        rung: list[float] = []
        monkeypatch.setattr(app, "bell", lambda: rung.append(clock()))
        await pilot.pause()
        await pilot.press(*"110.35t", "i")
        screen = app.screen
        assert isinstance(screen, FlightScreen)
        states = ""
        while screen._ident.is_sending:
            clock.advance(LOOK_S)
            screen.blink()
            states += "1" if screen._ident._was_lit else "0"
            if states.endswith(("01", "10")):  # as it changes
                await pilot.pause()
                assert ("●●●" in screen_text(app)) == screen._ident._was_lit
        # 3 + 3 + 7 + 3 + 7 + 3 + 9 dots of two looks each.
        assert 69 <= len(states) <= 71
        marks = f"0{states}".count("01")
        assert marks == len(encode("IMRW").replace(" ", ""))
        assert len(rung) == (marks if has_bell else 0)
        await pilot.pause()
        assert "●●●" not in screen_text(app)
        assert "IMRW" in screen_text(app)
