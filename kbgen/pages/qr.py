"""QR codes of addresses, each the sum of symbols that were drawn before.

The error-correcting words of a symbol are sums, modulo 2, of the bits of its message, and
mask and patterns are those of its size. So of two messages of one length that differ in one
sign the symbols differ by modules that do not depend on the other signs: the code of note 4711
is that of note 0000 and what a 4, a 7 and two 1s change in it, each in its place. A thousand
notes take some forty symbols of the library. Source: ISO/IEC 18004:2015, 7.5,
7.8.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

import segno
from markupsafe import Markup, escape

__all__ = ["Symbol", "qr_code", "symbol_of"]

QUIET = 4
"""How many modules of white a reader needs around a symbol. Source: ISO/IEC 18004."""

_DIGIT = re.compile(r"\d", re.ASCII)
_LENGTHS = [str(length) for length in range(178)]  # no symbol has more modules in a row


@dataclass(frozen=True, slots=True)
class Symbol:
    """The modules of a symbol, row by row, as the figures of one binary number.

    Shape: each of ``side`` rows has ``side`` figures, 1 for dark, and a 0 behind them.
    """

    side: int
    modules: int


def qr_code(address: str) -> Markup:
    """Return the QR code of an address, dark on white with its quiet zone.

    Shape: the signs of ``address`` are bytes in the symbol, for which one small letter
    among them is enough.
    """
    symbol = symbol_of(address)
    side = symbol.side + 2 * QUIET
    return Markup(
        f'<svg class="qr" viewBox="0 0 {side} {side}" role="img" aria-label="QR code of '
        f'{escape(address)}"><rect width="{side}" height="{side}"/>'
        f'<path d="{_lines(symbol)}"/></svg>'
    )


def _lines(symbol: Symbol) -> str:
    """Return a line along each run of dark modules, as the data of a path."""
    begins = _begins(symbol.side)
    figures = f"{symbol.modules:0{symbol.side * (symbol.side + 1)}b}"
    lines: list[str] = []
    at = 0
    for run in figures.split("0"):  # between two light modules stands a dark run, or nothing
        if run:
            lines += (begins[at], _LENGTHS[len(run)])
        at += len(run) + 1
    return "".join(lines)


def symbol_of(address: str) -> Symbol:
    """Return the symbol of an address: that of one with noughts for figures, and each figure."""
    noughts = _DIGIT.sub("0", address)
    plain = _drawn(noughts)
    modules = plain.modules
    for found in _DIGIT.finditer(address):
        if found[0] != "0":
            at = found.start()
            one = _drawn(noughts[:at] + found[0] + noughts[at + 1 :])
            modules ^= plain.modules ^ one.modules
    return Symbol(plain.side, modules)


@lru_cache(maxsize=512)
def _drawn(address: str) -> Symbol:
    """Return a symbol as the library draws it.

    Shape: level M bears the loss of 15 %; the first mask is taken unseen, since weighing
    all eight costs five times as much and readers take any. Source: ISO/IEC 18004.
    """
    matrix = segno.make_qr(address, error="m", mask=0).matrix
    figures = "".join("".join(map(str, row)) + "0" for row in matrix)
    return Symbol(len(matrix), int(figures, 2))


@lru_cache(maxsize=40)  # there are forty sizes
def _begins(side: int) -> list[str]:
    """Return how a line that begins at a module is drawn, up to its length."""
    return [
        f"M{column + QUIET} {row + QUIET}.5h" for row in range(side) for column in range(side + 1)
    ]
