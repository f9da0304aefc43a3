"""Whole numbers and word lists as printable ASCII, for files that a script tag loads.

The alphabet is printable ASCII without the quotation mark and the backslash, so
that a packed text stands in a JavaScript string as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

__all__ = ["ALPHABET", "front_coded", "packed", "unpacked"]

ALPHABET = "".join(chr(code) for code in range(32, 127) if chr(code) not in '"\\')
LAST = 60  # digits below end a number; the others carry on
CARRY = len(ALPHABET) - LAST


def _letters(number: int) -> str:
    """Return one number from 0 up as text."""
    rest, digit = divmod(number, LAST)
    letters = [ALPHABET[digit]]
    while rest:
        rest, digit = divmod(rest - 1, CARRY)
        letters.append(ALPHABET[LAST + digit])
    return "".join(reversed(letters))


_SMALL = [_letters(number) for number in range(LAST + LAST * CARRY)]  # of one letter or two


def packed(numbers: Iterable[int]) -> str:
    """Return numbers from 0 up as text, the small ones in one letter each."""
    given = list(numbers)
    try:
        return "".join([_SMALL[number] for number in given])
    except IndexError:
        most = len(_SMALL)
        return "".join([_SMALL[one] if one < most else _letters(one) for one in given])


def unpacked(text: str) -> list[int]:
    """Return the numbers of a packed text."""
    numbers: list[int] = []
    carried = 0
    for letter in text:
        digit = ALPHABET.index(letter)
        if digit < LAST:
            numbers.append(carried * LAST + digit)
            carried = 0
        else:
            carried = carried * CARRY + digit - LAST + 1
    return numbers


def front_coded(words: Sequence[str]) -> str:
    """Return sorted words with what each shares with the one before left out.

    Shape: the shared length as one letter of the alphabet, the rest of the
    word, and a tab's place taken by ``~``, which no term holds.
    """
    out: list[str] = []
    before = ""
    for word in words:
        shared = 0
        limit = min(len(before), len(word), LAST)
        while shared < limit and before[shared] == word[shared]:
            shared += 1
        out.append(ALPHABET[shared] + word[shared:])
        before = word
    return "~".join(out)
