"""Threads drawn to scale: what is drawn measures what it says."""

from __future__ import annotations

import math
import re

import pytest

from kbgen.pages.drawings import Profile, elevation, hour_scale, overlay, steel_rule, year_scale

# 1/4-20 UNC: D 6.35, P 1.27, external minor (ASME B1.1) 4.84
QUARTER = Profile(6.35, 4.84, 1.27, 60)


def steel(svg: str) -> list[tuple[float, float]]:
    """Return the corners of the outline, its relative strokes followed."""
    found = re.search(r'class="steel" d="M([\d.-]+) ([\d.-]+)([^"]+)z"', svg)
    assert found
    x, y = float(found[1]), float(found[2])
    points = [(x, y)]
    for stroke, along, down in re.findall(r"([lh])([\d.-]+)(?: ([\d.-]+))?", found[3]):
        assert (stroke == "l") == bool(down)
        x, y = x + float(along), y + float(down or 0)
        points.append((round(x, 6), round(y, 6)))
    return points


def scale(svg: str) -> float:
    found = re.search(r"drawn ([\d.]+) : 1 on paper", svg)
    assert found
    return float(found[1])


@pytest.mark.parametrize(
    "profile", [QUARTER, Profile(2.0, 1.5, 0.4, 60), Profile(25.4, 21, 3.175, 55)]
)
def test_diameter_and_pitch_are_to_scale(profile: Profile) -> None:
    svg = elevation(profile, "it")
    points = steel(svg)
    high = max(y for _, y in points) - min(y for _, y in points)
    assert high / scale(svg) == pytest.approx(profile.major_mm, abs=0.01)
    crests = [x for x, y in points if abs(y) < 0.05]
    assert (crests[2] - crests[0]) / scale(svg) == pytest.approx(profile.pitch_mm, abs=0.01)


def test_the_flanks_stand_at_the_angle_of_the_thread() -> None:
    svg = elevation(QUARTER, "it")
    foot, crest = steel(svg)[:2]
    half_angle = math.degrees(math.atan2(crest[0] - foot[0], foot[1] - crest[1]))
    assert half_angle == pytest.approx(30, abs=0.5)


def lean(svg: str) -> float:
    found = re.search(r'class="thin" d="M[\d.]+ 0l([\d.-]+)', svg)
    assert found
    return float(found[1])


def test_a_left_hand_thread_leans_the_other_way() -> None:
    left = Profile(6.35, 4.84, 1.27, 60, left_hand=True)
    assert lean(elevation(QUARTER, "it")) > 0
    assert lean(elevation(left, "it")) < 0


def test_a_drawing_says_in_words_what_it_shows() -> None:
    svg = elevation(QUARTER, "1/4-20 UNC")
    assert 'role="img"' in svg
    assert "1/4-20 UNC seen from the side: 6.35 mm across, 1.27 mm from crest to crest" in svg


def test_an_overlay_marks_where_it_binds_and_only_then() -> None:
    fine = Profile(6.35, 5.2, 0.907, 60)
    assert "where it binds, after 2.1 turns" in overlay(QUARTER, fine, 2.1, ("a", "b"))
    assert "binds" not in overlay(QUARTER, fine, None, ("a", "b"))


def test_a_recording_is_graduated_in_its_own_time() -> None:
    svg = hour_scale(2890, [0, 760])
    flags = re.search(r'class="flag" d="([^"]+)"', svg)
    assert flags
    assert flags[1] == "M0 -4.5v4.5M26.3 -4.5v4.5"
    assert len(re.findall(r"M[\d.]+ 3.6", svg)) == len(
        "0:00 10:00 20:00 30:00 40:00".replace(" ", "")
    )


def test_years_are_graduated_from_before_the_first_to_after_the_last() -> None:
    svg = year_scale([1908.2, 1952.7])
    # 1905 to 1955, every tenth year in four figures
    assert len(re.findall(r"M[\d.]+ 3.6", svg)) == 5 * 4


def test_the_rule_is_drawn_in_millimetres_with_a_figure_at_every_centimetre() -> None:
    svg = steel_rule(24)
    assert 'width="240mm" height="6mm" viewBox="0 0 240 6"' in svg
    figures = re.search(r'class="nos" d="([^"]+)"', svg)
    assert figures
    starts = [float(x) for x in re.findall(r"M([\d.]+) 3", figures[1])]
    assert len(starts) == 9 + 2 * 14  # 1 to 9, and 10 to 23
    assert starts[:3] == [10.9, 20.9, 30.9]
    assert "<text" not in svg
