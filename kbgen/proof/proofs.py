"""The tree as it stands: loaded and checked anew at every save, pages made when asked for."""

from __future__ import annotations

import contextlib
import threading
import traceback
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from kbgen.build import SiteFiles
from kbgen.checks import Checked, Held, drafts_shown, read_tree
from kbgen.content.models import Standing
from kbgen.findings import Finding, stops_build
from kbgen.links import Reference, Scheme, address_of
from kbgen.proof.kept import Lent
from kbgen.proof.watch import Watch

__all__ = ["Leaf", "Proofs", "Reading"]


@dataclass(frozen=True, slots=True)
class Reading:
    """The tree as it was after one save.

    Shape: ``number`` counts the saves that were seen, 0 before the first; ``drafts`` are
    address and title of the notes that readers do not see; ``trouble`` says why the tree
    could not be read at all, and is empty in the ordinary case; ``lines`` are those that
    findings are about, by path and number.
    """

    number: int = 0
    findings: tuple[Finding, ...] = ()
    drafts: tuple[tuple[str, str], ...] = ()
    trouble: str = ""
    lines: Mapping[tuple[str, int], str] = field(default_factory=dict, repr=False)

    @property
    def publishable(self) -> bool:
        """Whether the tree could be published as it is."""
        return not self.trouble and not stops_build(self.findings)


@dataclass(frozen=True, slots=True)
class Leaf:
    """One file of the site, as well as it can be shown.

    Shape: ``data`` is None where there is none; ``earlier`` is true of a file from before
    the errors, ``unfit`` of one with errors in it; ``failure`` says what stood in the way
    of making it although the content has no error: templates of the tree's own, or the
    program.
    """

    data: bytes | None
    earlier: bool = False
    unfit: bool = False
    failure: str = ""


class Proofs:
    """The proofs of one tree, renewed by one thread and read by many.

    A page of a file with an error is shown as it last was; where it never was any other,
    as it is, if it can be made at all.
    """

    def __init__(self, root: Path) -> None:
        self.root = root
        self.reading = Reading()
        self._held = Held()
        self._now: SiteFiles | None = None
        self._good = False
        self._whole: SiteFiles | None = None
        self._checked: Checked | None = None
        self._shown: tuple[Checked, Checked] | None = None
        self._unfit: SiteFiles | None = None
        self._making = threading.Lock()

    def follow(self, ended: Callable[[], bool], told: Callable[[], None]) -> None:
        """Renew the proofs now and after every save until ``ended``; tell of each renewal."""
        watch = Watch(self.root)
        while watch.wait(ended):
            self.renew()
            told()

    def renew(self) -> None:
        """Load and check the tree as it stands now."""
        before = self.reading
        number = before.number + 1
        try:
            with closing(Lent(self.root)) as lent:
                checked = read_tree(self.root, lent, held=self._held)
            shown = drafts_shown(checked, before=self._shown)
        except OSError as error:
            self.reading = Reading(number, before.findings, before.drafts, _words_of(error))
            return
        except Exception as error:  # a fault of the program, which must not end the proof
            traceback.print_exc()
            words = f"the program failed, {type(error).__name__}: {error}"
            self.reading = Reading(number, before.findings, before.drafts, words)
            return
        with self._making:
            self._shown = checked, shown
            if self._good:
                self._whole = self._now
            self._now = SiteFiles(self.root, shown)
            self._good = checked.publishable
            self._checked, self._unfit = checked, None
            lines = _lines(self.root, checked.findings)
            self.reading = Reading(number, checked.findings, _drafts(checked), lines=lines)

    def leaf(self, address: str) -> Leaf:
        """Return a file of the site. Shape: ``address`` is relative, with forward slashes."""
        failure = ""
        with self._making:
            for files in self._sources():
                try:
                    data = files.file(address)
                except Exception as error:
                    # What is left of a tree with errors may lack what a page needs.
                    failure = failure or f"{type(error).__name__}: {error}"
                    continue
                if data is not None:
                    failure = failure if self.reading.publishable else ""
                    return Leaf(data, files is self._whole, files is self._unfit, failure)
        return Leaf(None, failure=failure if self.reading.publishable else "")

    def _sources(self) -> Iterator[SiteFiles]:
        """Yield where a file may come from: as it is, as it last was, as it is with errors."""
        if self._now is not None:
            yield self._now
        if self._whole is not None:
            yield self._whole
        if self._checked is not None and not self._checked.publishable:
            if self._unfit is None:
                self._unfit = SiteFiles(self.root, drafts_shown(self._checked, errors=True))
            yield self._unfit


def _drafts(checked: Checked) -> tuple[tuple[str, str], ...]:
    return tuple(
        (address_of(Reference(Scheme.NOTE, str(note.number))), note.front.title)
        for note in checked.tree.notes.values()
        if note.front.standing is Standing.DRAFT
    )


def _lines(root: Path, findings: Iterable[Finding]) -> dict[tuple[str, int], str]:
    """Return the lines that findings are about, as far as they are to be had."""
    wanted: dict[str, set[int]] = {}
    for one in findings:
        wanted.setdefault(one.path, set()).add(one.line)
    found = {}
    for path, numbers in wanted.items():
        with contextlib.suppress(OSError, ValueError):
            lines = (root / path).read_text(encoding="utf-8").split("\n")
            found.update({(path, at): lines[at - 1] for at in numbers if at <= len(lines)})
    return found


def _words_of(error: OSError) -> str:
    where = f" ({error.filename})" if error.filename else ""
    return f"{error.strerror or error}{where}"
