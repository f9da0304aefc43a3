"""What a question gets back: result lines that answer, and their JSON shape."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kbgen.search.analysis import plain_terms
from kbgen.search.documents import ThreadPage
from kbgen.search.hits import Hit
from kbgen.search.quantities import quantity_terms
from kbgen.search.questions import Question, Widened

__all__ = ["Result", "Results", "best_line", "paged_terms", "result_of", "thread_pages"]


@dataclass(frozen=True, slots=True)
class Result:
    """One note found.

    Shape: ``address`` is relative to the site's root; ``weak`` says that the note
    holds little of what was asked; ``lines`` are the sentence that matched, the
    fix, and families with the caution word.
    """

    note: int
    title: str
    address: str
    score: int
    weak: bool
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Results:
    """The answer to a question: a thread's own pages first, then the best notes.

    Shape: ``asked`` is how much was asked, what scores are to be held against.
    """

    query: str
    results: tuple[Result, ...]
    widened: tuple[Widened, ...] = ()
    pages: tuple[ThreadPage, ...] = ()
    asked: int = 0

    def shape(self) -> dict[str, Any]:
        """Return plain data of the documented JSON shape."""
        return {
            "query": self.query,
            "widened": [{"said": w.said, "also": w.also} for w in self.widened],
            "pages": [{"thread": p.thread, "address": p.address} for p in self.pages],
            "results": [
                {
                    "note": r.note,
                    "title": r.title,
                    "address": r.address,
                    "score": r.score,
                    "weak": r.weak,
                }
                for r in self.results
            ],
        }


def result_of(hit: Hit, shown: Mapping[str, Any], question: Question) -> Result:
    """Make the lines of a result from what the index keeps of the note."""
    facts = [*shown["families"], *([shown["caution"]] if shown["caution"] else [])]
    lines = [best_line(question, shown["lines"]), shown["fix"], " · ".join(facts)]
    return Result(
        hit.number,
        shown["title"],
        shown["address"],
        hit.score,
        hit.weak,
        tuple(line for line in lines if line),
    )


def best_line(question: Question, lines: Sequence[str]) -> str:
    """Return the sentence that holds most of the question, else the first."""
    weights = dict(question.terms)
    best, most = "", 0
    for line in lines:
        held = sum(weights.get(term, 0) for term in set(plain_terms(line)))
        if held > most:
            best, most = line, held
    return best or (lines[0] if lines else "")


def thread_pages(question: Question, pages: Sequence[ThreadPage]) -> tuple[ThreadPage, ...]:
    """Return the pages of the threads in a question, in the order of their names."""
    return tuple(
        page
        for page in pages
        if any(term in question.threads for term in quantity_terms(page.thread))
    )


def paged_terms(pages: Sequence[ThreadPage]) -> frozenset[str]:
    """Return the terms of the threads that have a page."""
    return frozenset(term for page in pages for term in quantity_terms(page.thread))
