"""What a person is shown meanwhile costs the work nothing."""

from __future__ import annotations

import io
import sys
import threading

import pytest

from kbgen.commands.progress import progress_shown
from kbgen.kept import worth_sharing


class Terminal(io.StringIO):
    """A terminal that remembers what is shown on it."""

    def isatty(self) -> bool:
        return True


def test_work_is_shared_beside_what_a_terminal_shows(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    threads = threading.active_count()
    sharing = worth_sharing(100, 1)
    with progress_shown() as show:
        assert show is not None
        show("reading", 3, 7)
        assert threading.active_count() == threads
        assert worth_sharing(100, 1) == sharing
    assert "reading" in terminal.getvalue()
    assert "3/7" in terminal.getvalue()


def test_nothing_is_shown_where_there_is_no_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    with progress_shown() as show:
        assert show is None
