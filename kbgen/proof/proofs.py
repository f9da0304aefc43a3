"""The tree as it stands: loaded and checked anew at every save, pages made when asked for."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from kbgen.build import SiteFiles, checked_tree
from kbgen.checks import Checked, drafts_shown
from kbgen.content.models import Standing
from kbgen.findings import Finding, stops_build
from kbgen.links import Reference, Scheme, address_of
from kbgen.proof.watch import Watch

__all__ = ["Leaf", "Proofs", "Reading"]


@dataclass(frozen=True, slots=True)
class Reading:
    """The tree as it was after one save.

    Shape: ``number`` counts the saves that were seen, 0 before the first; ``drafts`` are
    address and title of the notes that readers do not see; ``trouble`` says why the tree
    could not be read at all, and is empty in the ordinary case.
    """

    number: int = 0
    findings: tuple[Finding, ...] = ()
    drafts: tuple[tuple[str, str], ...] = ()
    trouble: str = ""

    @property
    def publishable(self) -> bool:
        """Whether the tree could be published as it is."""
        return not self.trouble and not stops_build(self.findings)


@dataclass(frozen=True, slots=True)
class Leaf:
    """One file of the site. Shape: ``earlier`` is true of one from before the errors."""

    data: bytes
    earlier: bool = False


class Proofs:
    """The proofs of one tree, renewed by one thread and read by many.

    A page that cannot be made because of an error is shown as it last was.
    """

    def __init__(self, root: Path) -> None:
        self.root = root
        self.reading = Reading()
        self._files: tuple[SiteFiles, ...] = ()
        self._making = threading.Lock()

    def follow(self, ended: Callable[[], bool], told: Callable[[], None]) -> None:
        """Renew the proofs now and after every save until ``ended``; tell of each renewal."""
        watch = Watch(self.root)
        while watch.wait(ended):
            self.renew()
            told()

    def renew(self) -> None:
        """Load and check the tree as it stands now."""
        number = self.reading.number + 1
        try:
            checked = checked_tree(self.root)
            shown = drafts_shown(checked)
        except OSError as error:
            reading = self.reading
            self.reading = Reading(number, reading.findings, reading.drafts, _words_of(error))
            return
        reading = Reading(number, checked.findings, _drafts(checked))
        files = SiteFiles(self.root, shown)
        with self._making:
            last = () if reading.publishable else self._files[-1:]
            self._files = (files, *last)
            self.reading = reading

    def leaf(self, address: str) -> Leaf | None:
        """Return a file of the site, None where it has none of that address.

        Shape: ``address`` is relative to the site with forward slashes.
        Raises: what a page raises that cannot be made although no error was found.
        """
        with self._making:
            for files in self._files:
                try:
                    data = files.file(address)
                except Exception:
                    # What is left of a tree with errors may lack what a page needs.
                    if self.reading.publishable:
                        raise
                    continue
                if data is not None:
                    return Leaf(data, files is not self._files[0])
        return None


def _drafts(checked: Checked) -> tuple[tuple[str, str], ...]:
    return tuple(
        (address_of(Reference(Scheme.NOTE, str(note.number))), note.front.title)
        for note in checked.tree.notes.values()
        if note.front.standing is Standing.DRAFT
    )


def _words_of(error: OSError) -> str:
    where = f" ({error.filename})" if error.filename else ""
    return f"{error.strerror or error}{where}"
