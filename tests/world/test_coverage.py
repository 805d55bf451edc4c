"""Where signals are guaranteed, by the profile of the state, and how far radio reaches."""

from __future__ import annotations

import pytest

from tests.world.aids import at, from_antenna, from_path_origin, glide, localizer
from trainer.units import DEG, FT, NM
from trainer.world.coverage import coverage_for, radio_horizon_m


@pytest.mark.parametrize(
    ("profile", "range_nm", "azimuth_deg", "is_covered"),
    [
        ("icao", 24.9, 9.0, True),
        ("icao", 25.1, 9.0, False),
        ("icao", 16.9, 30.0, True),
        ("icao", 17.1, 30.0, False),
        ("icao", 9.0, 36.0, False),
        ("reduced", 17.9, 9.0, True),
        ("reduced", 18.1, 9.0, False),
        ("reduced", 9.9, 30.0, True),
        ("reduced", 10.1, 30.0, False),
        ("us", 17.9, 9.0, True),
        ("us", 18.1, 0.0, False),
        ("us", 9.9, 20.0, True),
        ("us", 10.1, 20.0, False),
    ],
)
def test_localizer_coverage_ends_where_the_profile_says(
    profile: str, range_nm: float, azimuth_deg: float, is_covered: bool
) -> None:
    # ICAO Annex 10 Vol I, 3.1.3.3.1 and figure C-7; FAA AIM 1-1-9 b.5.
    state = from_antenna(localizer(profile=profile), range_nm, azimuth_deg, 4000)
    assert (state == "covered") is is_covered


def test_low_down_at_the_far_edge_the_localizer_is_not_guaranteed() -> None:
    # ICAO Annex 10 Vol I, figure C-8: from 2 000 ft above the threshold; AIM 1-1-9: 1 000 ft
    # above terrain to 4 500 ft above the antenna.
    assert from_antenna(localizer(), 24.9, 0.0, 2010) == "covered"
    assert from_antenna(localizer(), 24.9, 0.0, 1900) == "received"
    assert from_antenna(localizer(profile="us"), 17.9, 0.0, 1010) == "covered"
    assert from_antenna(localizer(profile="us"), 17.9, 0.0, 900) == "received"
    assert from_antenna(localizer(profile="us"), 17.9, 0.0, 4490) == "covered"
    assert from_antenna(localizer(profile="us"), 17.9, 0.0, 4510) == "received"


def test_terrain_lifts_the_guaranteed_floor() -> None:
    volume = coverage_for("icao", terrain_m=2500 * FT)
    assert volume.localizer_floor_m == pytest.approx(3500 * FT)
    assert coverage_for("icao", terrain_m=500 * FT).localizer_floor_m == pytest.approx(2000 * FT)


def test_an_unknown_profile_is_refused() -> None:
    with pytest.raises(ValueError, match="moon"):
        coverage_for("moon")


@pytest.mark.parametrize(
    ("range_nm", "parts", "azimuth_deg", "is_covered"),
    [
        (9.9, 1.0, 0.0, True),
        (10.1, 1.0, 0.0, False),
        (8.0, 1.0, 7.9, True),
        (8.0, 1.0, 8.1, False),
        (8.0, 0.46, 0.0, True),
        (8.0, 0.44, 0.0, False),
        (6.0, 1.74, 0.0, True),
        (6.0, 1.76, 0.0, False),
    ],
)
def test_glide_path_coverage_ends_where_annex_10_says(
    range_nm: float, parts: float, azimuth_deg: float, is_covered: bool
) -> None:
    # ICAO Annex 10 Vol I, 3.1.5.3.1: 10 NM, ±8°, 0.45 θ to 1.75 θ. A strong site, so that the
    # field is not what decides.
    state = from_path_origin(glide(margin_db=6.0), range_nm, parts, azimuth_deg).state
    assert (state == "covered") is is_covered


def test_the_lower_edge_may_be_provided_down_to_030() -> None:
    # ICAO Annex 10 Vol I, 3.1.5.3.1: where needed to safeguard the intercept.
    low = glide(margin_db=6.0, coverage=coverage_for("icao", glide_low=0.30))
    assert from_path_origin(low, 8.0, 0.31).state == "covered"
    assert from_path_origin(low, 8.0, 0.29).state != "covered"


@pytest.mark.parametrize(("parts", "feet"), [(0.30, 955), (0.45, 1432), (1.0, 3184), (1.75, 5583)])
def test_the_edges_of_the_glide_path_at_ten_miles_are_at_known_heights(
    parts: float, feet: float
) -> None:
    # Hand calculation: 10 NM × tan(parts × 3°), from the foot of the path.
    seen = glide().receive(0.0, -(10 * NM) + glide().origin_m, feet * FT)
    assert seen.angle_rad / DEG + 3.0 == pytest.approx(3.0 * parts, abs=0.002)


def test_the_radio_horizon_at_10000_feet_is_128_miles() -> None:
    # 1.23·(√15 + √10 000) = 127.8 NM, the usual line-of-sight formula.
    assert radio_horizon_m(10_000 * FT) / NM == pytest.approx(127.8, abs=0.1)


def test_nothing_is_received_below_the_radio_horizon() -> None:
    # 1.23·(√15 + √100) = 17.1 NM at 100 ft.
    assert at(localizer(), 14.0, 0.0, 100).state == "received"
    assert at(localizer(), 17.0, 0.0, 100).state == "none"
    assert at(glide(), 17.5, 0.0, 100).state == "none"
