"""QR codes: sums of symbols are the symbols that the library draws."""

from __future__ import annotations

import re

import pytest
import segno

from kbgen.pages.qr import QUIET, qr_code, symbol_of

ADDRESSES = [
    *(f"https://shelf.example.org/n/{number:04}.html" for number in (0, 1, 9, 10, 999, 4711, 9876)),
    "https://shelf.example.org/n/12345.html",
    "https://192.0.2.17:8080/n/0305.html",
    "https://wörkshop.example.org/n/0042.html",
    "https://作業.example.org/n/0042.html",
    "http://a.example/m/model-66-of-1911.html",
    f"https://{'long.' * 30}example.org/n/0815.html",
    "https://shelf.example.org/m/treadle.html",
]


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_sum_of_symbols_is_the_symbol_of_the_address(address: str) -> None:
    # Against segno, which draws each of them from its own message.
    drawn = segno.make_qr(address, error="m", mask=0)
    symbol = symbol_of(address)
    stride = symbol.side + 1
    figures = f"{symbol.modules:0{symbol.side * stride}b}"
    rows = [figures[at : at + symbol.side] for at in range(0, len(figures), stride)]
    assert rows == ["".join(map(str, row)) for row in drawn.matrix]


@pytest.mark.parametrize("address", ADDRESSES)
def test_the_lines_of_the_picture_are_the_dark_modules(address: str) -> None:
    drawn = segno.make_qr(address, error="m", mask=0)
    markup = qr_code(address)
    whole = drawn.symbol_size(border=QUIET)[0]
    assert f'viewBox="0 0 {whole} {whole}"' in markup
    painted = set()
    for column, row, length in re.findall(r"M(\d+) (\d+)\.5h(\d+)", markup):
        painted |= {(int(row), int(column) + step) for step in range(int(length))}
    assert painted == {
        (row + QUIET, column + QUIET)
        for row, line in enumerate(drawn.matrix)
        for column, dark in enumerate(line)
        if dark
    }
