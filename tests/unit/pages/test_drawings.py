"""Threads drawn to scale: what is drawn measures what it says."""

from __future__ import annotations

import itertools
import math
import re

import pytest

from kbgen.pages.drawings import Cabinet, Profile, comb, elevation, overlay
from kbgen.units import flanks, parse_thread

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


def shape(svg: str, kind: str) -> list[tuple[float, float]]:
    """Return the corners of a path, its strokes followed."""
    found = re.search(rf'id="_x{kind}" d="M([\d.-]+) ([\d.-]+)V([\d.-]+)([^"V]+)V', svg)
    assert found
    x, y = float(found[1]), float(found[3])
    points = [(x, y)]
    for _, along, down in re.findall(r"([lh])([\d.-]+)(?: ([\d.-]+))?", found[4]):
        x, y = x + float(along), y + float(down or 0)
        points.append((x, y))
    return points


def middles(points: list[tuple[float, float]], high: float) -> list[float]:
    """Return the middles of the flats at a height: of the crests, or of the grooves."""
    return [
        (one[0] + two[0]) / 2
        for one, two in itertools.pairwise(points)
        if abs(one[1] - high) < 0.02 and abs(two[1] - high) < 0.02 and two[0] - one[0] > 0.01
    ]


BOLT, STUD = parse_thread("3/8-24 UNF"), parse_thread("3/8-28 UN")


def laid(turns: float | None) -> str:
    return overlay(flanks(BOLT, STUD), turns, ("3/8-24 UNF", "3/8-28 UN"), "_x")


def test_threads_that_are_laid_over_each_other_fall_out_of_step_by_their_pitches() -> None:
    svg = laid(0.4)
    size = re.search(r"(\d+) : 1 on paper", svg)
    assert size
    crests = middles(shape(svg, "s"), 0.0)
    steel, metal = shape(svg, "s"), shape(svg, "h")
    roots = middles(metal, min(y for _, y in metal))
    assert len(crests) > 6 < len(roots)
    for middle, pitch in ((crests, 25.4 / 24), (roots, 25.4 / 28)):
        steps = [(b - a) / int(size[1]) for a, b in itertools.pairwise(middle)]
        assert steps == pytest.approx([pitch] * len(steps), abs=0.002)
    # the first ridge touches the flank that the mismatch leads away from
    room = flanks(BOLT, STUD).room
    assert (roots[0] - crests[0]) / int(size[1]) == pytest.approx(room / 2, abs=0.002)
    assert max(y for _, y in steel) > max(y for _, y in metal)


def test_the_arrow_stands_where_the_room_between_the_flanks_is_used_up() -> None:
    """From one flank to the other: the room of a turn over the mismatch of the pitches."""
    both = flanks(BOLT, STUD)
    turns = both.room / (both.ridge_pitch - both.groove_pitch)
    svg = laid(turns)
    size = re.search(r"(\d+) : 1 on paper", svg)
    arrow = re.search(r'class="meet" d="M([\d.]+) ', svg)
    assert size and arrow
    crests = middles(shape(svg, "s"), 0.0)
    assert (float(arrow[1]) - crests[0]) / int(size[1]) == pytest.approx(
        turns * both.ridge_pitch, abs=0.003
    )
    assert f"It binds at the arrow, after {turns:.1f} turns." in svg


def test_an_overlay_marks_where_it_binds_and_only_then() -> None:
    assert "The flanks foul at the arrow, in the first turn." in laid(0.0)
    assert "arrow" not in laid(None)
    assert 'class="meet"' not in laid(None)
    told = re.search(r'role="img" aria-label="([^"]+)"', laid(0.4))
    assert told
    assert told[1].endswith(
        "laid into the grooves of 3/8-28 UN. It binds at the arrow, after 0.4 turns."
    )


def test_where_both_want_one_place_only_the_metal_of_both_is_black() -> None:
    svg = laid(0.4)
    assert '<clipPath id="_xc"><path id="_xh" d="M' in svg
    assert '<use class="clash" href="#_xs" clip-path="url(#_xc)"/>' in svg


def test_labels_of_one_page_share_one_scale_and_each_thread_is_drawn_once() -> None:
    cabinet = Cabinet({"1/4-20 UNC": QUARTER, "M2x0.4": Profile(2.0, 1.5, 0.4, 60)})
    assert cabinet.scale == 5  # 6.35 mm at 5 : 1 is the most that stands in 40 mm
    symbols = cabinet.symbols()
    assert symbols.count("<g id=") == 2
    label = cabinet.drawing("M2x0.4")
    assert '<use href="#_d1"/>' in label and "<path" not in label
    assert 'aria-label="M2x0.4 from the side"' in label
    assert "<figcaption>⌀ 2.0 × 0.4 mm</figcaption>" in label
    high = re.search(r'height="([\d.]+)mm"', label)
    assert high and float(high[1]) == pytest.approx(2.0 * 5 + 0.6)
    assert cabinet.drawing("4 BA") == ""
    assert Cabinet({}).symbols() == ""


def test_a_leaf_of_the_gauge_is_true_to_the_end() -> None:
    """60 mm of it: no rounding of a coordinate adds up over more than a hundred teeth."""
    for pitch in (0.4, 25.4 / 44, 25.4 / 28, 1.25):
        svg = comb(Profile(6.0, 6.0 - 1.2 * pitch, pitch, 60), "teeth")
        line = re.search(r'class="leaf" d="M0 6V[\d.]+([^"V]+)V', svg)
        assert line
        steps = [float(x) for x in re.findall(r"[lh]([\d.]+)", line[1])]
        teeth = int(60 / pitch)
        assert sum(steps) == pytest.approx(teeth * pitch, abs=0.02)
        assert 'width="60.4mm"' in svg
