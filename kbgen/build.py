"""The build: load, check, and then publish the whole site, or change nothing at all."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Generator
from contextlib import closing
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from kbgen.content import LEDGER_PATH, TreeMissing
from kbgen.kept import (
    Laid,
    Record,
    Same,
    Store,
    Unpackable,
    beside,
    listing,
    open_store,
    pack,
    program_digest,
    unpack,
)
from kbgen.publish import Held, Publication, PublishError, Stamps, publishing

if TYPE_CHECKING:  # what is needed only where something changed is loaded only then
    from kbgen.checks import Checked
    from kbgen.findings import Finding
    from kbgen.links import Ledger
    from kbgen.pages import Press

__all__ = ["Built", "Progress", "SiteFiles", "build", "checked_tree", "inspect"]

Progress = Callable[[str, int, int], None]
"""Told how far a stage is: its name, what is done, and how much there is to do."""


@dataclass(frozen=True, slots=True)
class Built:
    """What a build came to.

    Shape: ``findings`` are all there are, sorted; ``published`` is false where one of
    them is an error, and then nothing was touched. ``index`` is the page to open;
    ``pages`` is how many pages the site has, ``changed`` how many files were written.
    """

    findings: tuple[Finding, ...]
    published: bool
    index: Path
    pages: int = 0
    changed: int = 0


def checked_tree(root: Path) -> Checked:
    """Return the tree below ``root``, checked, and held against the private file.

    Raises: TreeMissing; OSError where the machine does not give a file.
    """
    from kbgen.checks import checked_tree as checked_alone

    return _held_private(root, checked_alone(root))


def inspect(root: Path) -> tuple[Finding, ...]:
    """Return every finding of the tree below ``root``, sorted; nothing is published.

    Raises: TreeMissing; OSError where the machine does not give the address ledger.
    """
    return checked_tree(root).findings


class SiteFiles:
    """The files of a checked tree's site, each made when it is asked for."""

    def __init__(self, root: Path, checked: Checked) -> None:
        self._root = root
        self._checked = checked

    def file(self, path: str) -> bytes | None:
        """Return one file, None where the site has none of that path.

        Raises: whatever stands in the way of making it.
        """
        made = self._press.file(path)
        return self._searched.get(path) if made is None else made

    @cached_property
    def _press(self) -> Press:
        from kbgen.pages import Press

        return Press(self._checked, self._root / "templates")

    @cached_property
    def _searched(self) -> dict[str, bytes]:
        from kbgen.search import indexes_of

        files = indexes_of(self._checked).page_files()
        return {path: data for path, data in files if isinstance(data, bytes)}


def build(
    root: Path,
    out: Path | None = None,
    progress: Progress | None = None,
    waiting: Callable[[], None] | None = None,
    trusting: bool = True,
) -> Built:
    """Check the tree below ``root`` and publish its site into ``out``, else ``root/site``.

    Shape: ``waiting`` is called once where another build has to end first. Where not
    ``trusting``, every file is read, whatever its size and times say.
    Raises: TreeMissing; FolderRefused; PublishError, and then the earlier site stands.
    """
    if not (root / "content" / "workshop.yaml").is_file():
        raise TreeMissing(f"no content/workshop.yaml in {root}")
    tell = progress or _say_nothing
    wait = waiting or (lambda: tell("waiting for another build", 0, 1))
    with publishing(root, out, wait) as place, open_store(root / ".kbgen") as store:
        _write_what_was_pending(root, place)
        index = place.folder / "index.html"
        held = Held(place.folder, _trusted(store, place) if trusting else {})
        inputs = _inputs(root)
        if trusting and (built := _unchanged(root, store, held, inputs, index)):
            return built
        tell("reading", 0, 1)
        from kbgen.checks import Want, read_tree
        from kbgen.links import format_ledger
        from kbgen.pages import body_ahead, names_ahead
        from kbgen.search import keys_ahead, stamp_of_tree, terms_ahead

        stamped = stamp_of_tree(root)
        ahead = ((terms_ahead, body_ahead), (names_ahead, keys_ahead))
        want = Want(tell, trusting, *ahead, at_once=False)
        read = read_tree(root, store, want)
        checked = _held_private(root, read)
        tell("checking", 1, 1)
        if not checked.publishable:
            return Built(checked.findings, False, index)
        promises = _Promises(checked.ledger)

        def lay(path: str, data: bytes) -> Laid:
            promises.hold(path, data)
            return place.lay(path, data)

        made = _files(root, checked, stamped, store, held, lay)
        files = _told(_as_promised(made, promises), checked, tell)
        written = place.write_site(files, format_ledger(checked.ledger))
        store.keep("site", [(str(place.folder), Record(b"", pack(place.stamps())))])
        pages = sum(1 for entry in checked.ledger.entries.values() if _is_page(entry.address))
        _note_down(root, store, inputs, index, checked.findings, pages)
        return Built(checked.findings, True, index, pages, written.changed)


_SEARCHED_BESIDE = 300
"""From so many notes on the page's index is made while the pages are."""

_LEDGER_NAME = frozenset({LEDGER_PATH.removeprefix("content/")})


def _inputs(root: Path) -> bytes | None:
    """Return a digest of all that a build reads but the ledger, None where it may change yet."""
    now_ns = time.time_ns()
    package = Path(__file__).resolve().parent
    folders = [root / name for name in ("content", "templates", "private")]
    folders += [package / "templates", package.parent / "templates"]
    parts = [
        listing(folder, now_ns, _LEDGER_NAME) if folder.is_dir() else b"none" for folder in folders
    ]
    return None if None in parts else b"".join(part for part in parts if part)


def _unchanged(
    root: Path, store: Store, held: Held, inputs: bytes | None, index: Path
) -> Built | None:
    """Return what the last build came to, where nothing at all has changed since."""
    record = store.records("built").get(str(index))
    if record is None or inputs is None or record.key != _key_of(root, inputs):
        return None
    try:
        findings, pages = unpack(record.data)
    except Unpackable:
        return None
    return Built(findings, True, index, pages) if held.untouched() else None


def _note_down(
    root: Path,
    store: Store,
    inputs: bytes | None,
    index: Path,
    findings: tuple[Finding, ...],
    pages: int,
) -> None:
    """Write down what a build came to and what it was made from."""
    if inputs is not None:
        record = Record(_key_of(root, inputs), pack((findings, pages)))
        store.keep("built", [(str(index), record)])


def _key_of(root: Path, inputs: bytes) -> bytes:
    try:
        ledger = (root / LEDGER_PATH).read_bytes()
    except OSError:
        ledger = b""
    return hashlib.blake2b(program_digest() + inputs + ledger, digest_size=16).digest()


Files = Generator[tuple[str, bytes | Same | Laid]]


def _trusted(store: Store, place: Publication) -> Stamps:
    """Return the stamps of the site's files as they were after the last build."""
    record = store.records("site").get(str(place.folder))
    try:
        stamps: Stamps = unpack(record.data) if record else {}
    except Unpackable:
        return {}
    return stamps


def _held_private(root: Path, checked: Checked) -> Checked:
    """Return checked content with what it says of people who stand in the private file.

    A tree has such a file only where its workshop keeps who asked.
    """
    if not (root / "private").is_dir():
        return checked
    from kbgen.desk.intake import private_findings

    found = {*checked.findings, *private_findings(root)}
    return replace(checked, findings=tuple(sorted(found)))


def _files(
    root: Path,
    checked: Checked,
    stamped: str,
    store: Store,
    held: Held,
    lay: Callable[[str, bytes], Laid],
) -> Files:
    """Yield every file of the site: pages, what they need, and what the search loads."""
    # Only a build needs the templates and the search: an inspection starts without them.
    from kbgen.pages import Earlier, render_site
    from kbgen.search import indexes_of

    def searched() -> list[tuple[str, Same | Laid]]:
        with open_store(root / ".kbgen") as own:  # one store is not for two processes
            indexes = indexes_of(checked, own, held.holds)
            found = [
                (path, data if isinstance(data, Same) else lay(path, data))
                for path, data in indexes.page_files()
            ]
            indexes.bring_up_to_date(root, stamped)
            return found

    with beside(searched, worthwhile=len(checked.tree.notes) >= _SEARCHED_BESIDE) as found:
        yield from render_site(checked, root / "templates", Earlier(store, held.holds, lay))
        yield from found()


def _say_nothing(stage: str, done: int, total: int) -> None:
    """Tell nobody how far a build is."""


def _write_what_was_pending(root: Path, place: Publication) -> None:
    """Put into the ledger what a killed build published without writing it down.

    A ledger that is damaged is left as it is: the findings will say so, and the
    addresses stay pending until it is mended.
    """
    if place.pending is None:
        return
    from kbgen.links import format_ledger, load_ledger, merged_ledger, parse_ledger

    ledger, damage = load_ledger(root)
    published, _ = parse_ledger(place.pending)
    if not damage:
        place.write_ledger(format_ledger(merged_ledger(ledger, published)))


def _is_page(address: str) -> bool:
    return "#" not in address


class _Promises:
    """What the ledger promises of the site: every address, and its anchors."""

    def __init__(self, ledger: Ledger) -> None:
        from kbgen.links import promised_anchors

        self._anchors = promised_anchors(ledger)
        self._waited_for = set(self._anchors)

    def hold(self, path: str, data: bytes) -> None:
        """Hold a page to the ledger; in whatever process. Raises: PublishError."""
        for anchor in self._anchors.get(path, ()):
            if f'id="{anchor}"'.encode() not in data:
                raise _broken_promise(f'{path} has no element with id="{anchor}"')

    def met(self, path: str) -> None:
        """Note down that a page is there."""
        self._waited_for.discard(path)

    def end(self) -> None:
        """Hold the whole site to the ledger. Raises: PublishError."""
        if self._waited_for:
            raise _broken_promise(f"there is no page {min(self._waited_for)}")


def _as_promised(files: Files, promises: _Promises) -> Files:
    """Hand the files on, and hold them to the ledger: no address or anchor is missing.

    Raises: PublishError, before anything is exchanged, where pages and ledger differ.
    """
    with closing(files):  # whoever makes them ends before the unfinished site is cleared away
        for path, data in files:
            if isinstance(data, bytes):
                promises.hold(path, data)
            promises.met(path)
            yield path, data
        promises.end()


def _broken_promise(what: str) -> PublishError:
    return PublishError(
        f"the site does not hold what {LEDGER_PATH} promises: {what}",
        "templates of the tree's own may have dropped it; the earlier site stands",
    )


def _told(files: Files, checked: Checked, tell: Progress) -> Files:
    """Hand the files on and tell how many of the pages are made."""
    total = sum(1 for address in checked.ledger.entries if _is_page(address))
    made = 0
    with closing(files):
        for path, data in files:
            yield path, data
            made += path.endswith(".html")
            tell("publishing", min(made, total), total)
