"""Making a bag: written beside its place, brought to the disk, then put there in one step."""

from __future__ import annotations

import datetime
import hashlib
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import kbgen
from kbgen.bag.contents import described, program_files, source_files
from kbgen.bag.form import DECLARATION, format_info, format_manifest, parse_info
from kbgen.build import Progress, build
from kbgen.checks import Checked
from kbgen.disk import exchange, locked_file, settle, sync_tree, write_new

__all__ = ["BagRefused", "Packed", "pack"]

_NEW, _LAST, _LOCK = "new", "last", "lock"
_AGENT = "kbgen"
_ABOUT = "The repair knowledge of"


class BagRefused(Exception):
    """A folder that a bag must not be put at. Shape: ``hint`` says what to do."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Packed:
    """What a bag holds."""

    files: int
    bytes: int


def pack(
    root: Path,
    checked: Checked,
    bag: Path,
    day: datetime.date,
    waiting: Callable[[], None] = lambda: None,
    progress: Progress | None = None,
) -> Packed:
    """Put the knowledge base below ``root`` into a bag at ``bag``.

    Shape: ``checked`` is the tree, publishable; ``bag`` is a new name, an empty folder,
    or a bag that this program made, which the new one takes the place of; ``day`` is
    written into it. ``waiting`` is called once if another process makes it too.
    ``progress`` is told how far the site in it is.
    Raises: BagRefused; OSError, and then what stood at ``bag`` stands there still.
    """
    bag = Path.cwd() / bag
    _refuse(root, bag)
    with _place_beside(bag, waiting) as beside:
        settle(beside / _NEW, bag, beside / _LAST)
        _clear(beside)
        new = beside / _NEW
        try:
            packed = _write(root, checked, new, day, progress)
            if bag.is_dir() and not any(bag.iterdir()):
                bag.rmdir()
            exchange(new, bag, beside / _LAST)
        finally:
            _clear(beside)
    return packed


def _refuse(root: Path, bag: Path) -> None:
    """Raise BagRefused for a place that holds something else, or is part of the tree."""
    real = bag.resolve()
    if bag.is_symlink():
        raise BagRefused(f"{bag} is a symbolic link", "name the folder itself")
    if root.resolve().is_relative_to(real):
        raise BagRefused(f"{bag} holds the content tree itself", "name a folder for the bag alone")
    for name in ("content", "templates", "site", ".kbgen"):
        if real.is_relative_to(root.resolve() / name):
            raise BagRefused(f"{bag} lies in the tree's {name}/", "name a folder outside it")
    if not bag.exists():
        return
    if not bag.is_dir():
        raise BagRefused(f"{bag} is not a folder", "name a folder for the bag")
    if any(bag.iterdir()) and not _is_ours(bag):
        raise BagRefused(
            f"{bag} holds something else than a bag of ours", "name a new or an empty folder"
        )


def _is_ours(bag: Path) -> bool:
    try:
        said = parse_info((bag / "bag-info.txt").read_text(encoding="utf-8"))
        agent = "".join((said or {}).get("Bag-Software-Agent", ()))
        return (bag / "bagit.txt").is_file() and agent.startswith(f"{_AGENT} ")
    except (OSError, ValueError):
        return False


@contextmanager
def _place_beside(bag: Path, waiting: Callable[[], None]) -> Iterator[Path]:
    """Hold a working folder beside the place of the bag, on the same file system."""
    beside = bag.parent / f".{bag.name}.kbgen-bag"
    with locked_file(beside / _LOCK, waiting):
        yield beside


def _clear(beside: Path) -> None:
    for name in (_NEW, _LAST):
        shutil.rmtree(beside / name, ignore_errors=True)


def _write(
    root: Path, checked: Checked, new: Path, day: datetime.date, progress: Progress | None
) -> Packed:
    """Write a whole bag into a new folder and bring it to the disk."""
    payload = new / "data"
    payload.mkdir(parents=True)
    for path, file in (*source_files(root, checked), *program_files()):
        _put(payload, path, file.read_bytes())
    built = build(payload, payload / "site", progress)
    if not built.published:  # what was left behind was needed after all
        raise BagRefused(
            "what the bag would hold cannot be published: " + built.findings[0].message,
            "kbgen inspect says more",
        )
    shutil.rmtree(payload / ".kbgen", ignore_errors=True)
    for path, data in described(checked):
        _put(payload, path, data)
    digests = _digests(payload, "data")
    tags = _tag_files(checked, digests, payload, day)
    for name, data in tags.items():
        write_new(new / name, data)
    sealed = {name: hashlib.sha512(data).hexdigest() for name, data in tags.items()}
    write_new(new / "tagmanifest-sha512.txt", format_manifest(sealed))
    written = [file for file in new.rglob("*") if file.is_file()]
    sync_tree(new, written)
    return Packed(len(digests), _size(payload, digests))


def _put(payload: Path, path: str, data: bytes) -> None:
    try:
        path.encode()
    except UnicodeEncodeError:
        raise BagRefused(
            f"the name of {path!a} is no UTF-8, and no manifest can list it", "rename the file"
        ) from None
    target = payload / path
    target.parent.mkdir(parents=True, exist_ok=True)
    write_new(target, data)


def _digests(folder: Path, named: str) -> dict[str, str]:
    """Return the SHA-512 of every file below a folder by its path in the bag."""
    found = {}
    for file in sorted(folder.rglob("*")):
        if file.is_file():
            with file.open("rb") as opened:
                digest = hashlib.file_digest(opened, "sha512").hexdigest()
            found[f"{named}/{file.relative_to(folder).as_posix()}"] = digest
    return found


def _size(payload: Path, digests: Mapping[str, str]) -> int:
    return sum((payload.parent / path).stat().st_size for path in digests)


def _tag_files(
    checked: Checked, digests: Mapping[str, str], payload: Path, day: datetime.date
) -> dict[str, bytes]:
    workshop = checked.tree.workshop
    assert workshop is not None  # it was published
    info = (
        ("Source-Organization", workshop.name),
        ("Contact-Name", workshop.contact),
        ("External-Description", f"{_ABOUT} {workshop.name}; begin with data/READ-ME.txt"),
        ("External-Identifier", workshop.base_address),
        ("Bagging-Date", day.isoformat()),
        ("Payload-Oxum", f"{_size(payload, digests)}.{len(digests)}"),
        ("Bag-Software-Agent", f"{_AGENT} {kbgen.__version__}"),
    )
    return {
        "bagit.txt": DECLARATION.encode(),
        "bag-info.txt": format_info(info),
        "manifest-sha512.txt": format_manifest(digests),
    }
