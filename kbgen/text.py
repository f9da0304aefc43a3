"""Ground floor: places in a text, and the error of a notation that cannot be read."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["NotationError", "Span"]


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of a text.

    Shape: ``start`` and ``end`` are 0-based code points, ``end`` exclusive.
    """

    start: int
    end: int

    def __post_init__(self) -> None:
        if not 0 <= self.start <= self.end:
            raise ValueError(f"a span runs forward from 0, got {self.start}..{self.end}")

    def of(self, text: str) -> str:
        """Return the stretch of ``text`` that this span covers."""
        return text[self.start : self.end]

    def shifted(self, by: int) -> Span:
        """Return the same stretch ``by`` code points further on."""
        return Span(self.start + by, self.end + by)


class NotationError(ValueError):
    """A text that does not follow the notation it is read in.

    Shape: ``message`` says what was found and what was expected, ``span`` lies
    inside ``text``, ``hint`` says what to do (may be empty).
    """

    def __init__(self, message: str, text: str, span: Span, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.text = text
        self.span = span
        self.hint = hint

    def __reduce__(self) -> tuple[type[NotationError], tuple[str, str, Span, str]]:
        return type(self), (self.message, self.text, self.span, self.hint)
