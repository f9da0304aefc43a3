"""What stands in each kind of file that the page loads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from kbgen.search import hits, quantities, questions, ranking
from kbgen.search.analysis import INITIALS, SPELLED, STOP_WORDS, WORD
from kbgen.search.documents import Shown
from kbgen.search.entries import TITLE_PLACES, WORD_HALVES
from kbgen.search.inverted import Posted
from kbgen.search.lexicon import HEAD, SHORTEST
from kbgen.search.packing import front_coded, packed

__all__ = ["gaps", "grammar", "lengths", "postings", "room", "shown", "words"]

ONCE = WORD_HALVES  # what most postings count
ALL_LETTERS = 1_800_000  # of the sentences of all notes together
LEAST_LETTERS, MOST_LETTERS = 80, 600  # of the sentences of one note
SHORTEST_CUT = 24


def gaps(numbers: Iterable[int]) -> list[int]:
    """Return rising numbers as the steps between them, less one, from -1 on."""
    return [after - before - 1 for before, after in pairwise([-1, *numbers])]


def words(rows: Sequence[tuple[str, int]]) -> list[str]:
    """Return sorted words, each with how common it is."""
    return [front_coded([word for word, _ in rows]), packed(common for _, common in rows)]


def postings(terms: Iterable[tuple[str, Posted]]) -> list[str]:
    """Return sorted terms and where each stands."""
    said, entries = [], []
    for term, posted in terms:
        said.append(term)
        entries.append(_posting(posted))
    return [front_coded(said), "".join(entries)]


def _posting(posted: Posted) -> str:
    """Pack where a term stands: its notes, how much of it they hold, its places in titles.

    Shape: a step from note to note is doubled; an odd one leads to a note that holds the
    term otherwise than once in its body, and how much stands behind all steps.
    """
    numbers, counts = posted.numbers(), posted.counts()
    steps = zip(gaps(numbers), counts, strict=True)
    entry = packed(
        [
            len(numbers),
            *[2 * step + (count != ONCE) for step, count in steps],
            *[count for count in counts if count != ONCE],
        ]
    )
    if not posted.titled:
        return entry + packed([0])
    at = {number: index for index, number in enumerate(numbers)}
    titled = posted.places()
    entry += packed([len(titled), *gaps(at[number] for number, _ in titled)])
    return entry + packed(_places(places) for _, places in titled)


def _places(places: int) -> int:
    """Return one place as itself, several as bits above all places."""
    return places.bit_length() - 1 if places & (places - 1) == 0 else TITLE_PLACES + places


def lengths(steps: Mapping[int, int]) -> str:
    """Pack the lengths of all notes: how many numbers are passed over, how many follow, theirs."""
    out: list[int] = []
    run: list[int] = []
    begin = before = 0
    for number, length in steps.items():
        if run and number != before + 1:
            out += [begin, len(run), *run]
            begin, run = number - before - 1, []
        elif not run:
            begin = number
        run.append(ranking.length_class(length))
        before = number
    return packed([*out, begin, len(run), *run] if run else [])


def room(notes: int) -> int:
    """Return how many letters of sentences are shown of each of so many notes."""
    return max(LEAST_LETTERS, min(MOST_LETTERS, ranking.rounded(ALL_LETTERS // max(1, notes))))


def shown(note: Shown, room: int) -> list[Any]:
    """Return what a result shows of a note, its sentences cut to ``room`` letters."""
    fix = _cut(note.fix, max(LEAST_LETTERS, room // 2))
    row: list[Any] = [note.title, fix, note.caution, " ".join(f.id for f in note.families())]
    room -= len(fix)
    for line in note.lines:
        kept = _cut(line, room)
        if not kept:
            break
        row.append(kept)
        room -= len(kept)
    return row


def _cut(text: str, room: int) -> str:
    """Return the text, cut after a word where it has more letters than there is room for."""
    if len(text) <= room:
        return text
    kept = text[: max(0, room - 1)].rsplit(" ", 1)[0].rstrip(" ,;:.-")
    return f"{kept}…" if len(kept) >= SHORTEST_CUT else ""


def grammar() -> dict[str, Any]:
    """Return the tables, patterns and settings that both sides read questions with."""
    q = quantities
    return {
        "stop": " ".join(sorted(STOP_WORDS)),
        "spelled": SPELLED,
        "word": WORD.pattern,
        "initials": INITIALS.pattern,
        "atom": q.ATOM.pattern,
        "numbers": q.NUMBERS,
        "tens": q.TENS,
        "parts": q.PARTS,
        "tensParts": {f"{a} {b}": part for (a, b), part in q.TENS_PARTS.items()},
        "endings": sorted(q.ENDINGS),
        "denominators": sorted(q.DENOMINATORS),
        "series": q.SERIES,
        "pitches": q.standard_pitches(),
        "pairs": sorted(q.NUMBER_PAIRS),
        "forces": q.FORCES,
        "levers": q.LEVERS,
        "newtonMetres": q.NEWTON_METRES,
        "patterns": [p.pattern for p in (q.TORQUE, q.METRIC, q.BA, q.PIPE, q.INCH, q.SIZED)],
        "weights": [ranking.question_weight(times) for times in range(1, ranking.COUNTED + 1)],
        "full": questions.FULL,
        "widened": questions.WIDENED,
        "guessed": questions.GUESSED,
        "joined": questions.JOINED,
        "begun": questions.BEGUN,
        "slipped": questions.SLIPPED,
        "part": questions.PART,
        "shortest": SHORTEST,
        "head": HEAD,
        "titlePlaces": TITLE_PLACES,
        "once": ONCE,
        "neighbours": ranking.NEIGHBOURS,
        "shares": ranking.SHARES,
        "saturation": ranking.SATURATION,
        "lengthShare": ranking.LENGTH_SHARE,
        "rarest": ranking.RAREST,
        "unit": ranking.UNIT,
        "weakShare": hits.WEAK_SHARE,
        "standsOut": hits.STANDS_OUT,
        "tenth": hits.TENTH,
        "unknownTimes": hits.UNKNOWN_TIMES,
    }
