"""Graduated rules: true millimetres, hours, years, shares."""

from __future__ import annotations

import re

from kbgen.pages.scales import hour_scale, load_bar, printers_bar, since, steel_rule, year_scale


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


def test_the_printers_bar_is_fifty_millimetres_with_a_figure_at_every_centimetre() -> None:
    svg = printers_bar()
    assert 'width="50mm" height="6mm" viewBox="0 0 50 6"' in svg
    assert '<rect width="50" height="3"/>' in svg
    assert 'aria-label="a bar of 50 millimetres"' in svg


def test_a_lot_is_a_flag_at_its_date_and_a_stroke_from_there_on() -> None:
    dates = [1908.0, 1920.5, 1950.0]  # 1905 to 1955
    flags = [re.search(r'class="flag" d="M([\d.]+) 0v3"', since(date, dates)) for date in dates]
    assert [flag and float(flag[1]) for flag in flags] == [6.0, 31.0, 90.0]
    assert 'class="later" d="M31 3H100"' in since(1920.5, dates)


def test_a_share_of_proof_fills_its_part_of_the_bar() -> None:
    assert 'class="full" d="M0 0H20V3H0z"' in load_bar(0.5, 0.5)
    assert 'class="part" d="M10 0H30V3H10z"' in load_bar(0.25, 0.75)
    assert 'class="full" d="M0 0H40V3H0z"' in load_bar(1.4, 1.4)
