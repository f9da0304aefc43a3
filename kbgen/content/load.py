"""The content folder → the tree, with every finding of one run."""

from __future__ import annotations

import errno
import os
import re
import stat
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from kbgen.content.captions import Caption, captions_of
from kbgen.content.decode import NOTE_LIMIT, YAML_LIMIT, size_finding, text_of
from kbgen.content.files import read_filed, read_note, read_question
from kbgen.content.names import (
    ID_NAME,
    is_reserved,
    is_scrap,
    number_of,
    question_number_of,
    slug_of,
)
from kbgen.content.root import TreeMissing
from kbgen.content.shape import (
    FAMILY,
    HAZARDS,
    PART,
    RECORDING,
    SYMPTOMS,
    THREADS,
    VOCABULARY,
    WORKSHOP,
    Kind,
)
from kbgen.content.tree import Body, Filed, Loaded, Note, Question, RecordingFile, Tree
from kbgen.findings import Finding, finding

__all__ = ["load_captions", "load_lists", "load_tree", "load_whole_tree"]

M = TypeVar("M")

Known = Callable[[str], tuple[Any, list[Finding]] | None]


def _nothing_known(path: str) -> None:
    """Say of every file that it has to be read."""


_PICTURES = (".jpg", ".jpeg", ".png", ".webp")
_SINGLE: dict[str, tuple[str, Kind[Any]]] = {
    "workshop.yaml": ("workshop_file", WORKSHOP),
    "threads.yaml": ("threads_file", THREADS),
    "hazards.yaml": ("hazards_file", HAZARDS),
    "symptoms.yaml": ("symptoms_file", SYMPTOMS),
    "vocabulary.yaml": ("vocabulary_file", VOCABULARY),
}
_LEDGER = "addresses.tsv"
_LIKE = {".md": (".md", ".markdown", ".txt"), ".yaml": (".yaml", ".yml")}


def load_tree(root: Path, known: Known = _nothing_known) -> Loaded:
    """Return the whole tree below ``root`` and every finding, sorted.

    Shape: ``known`` gives of a file what ``read_file`` would give, where that is known.
    Raises: TreeMissing where ``root`` has no ``content/workshop.yaml``.
    """
    if not (root / "content" / "workshop.yaml").is_file():
        raise TreeMissing(f"no content/workshop.yaml in {root}")
    loader = _Loader(root, known)
    loader.load()
    return Loaded(loader.tree(), tuple(sorted(loader.findings)))


def load_whole_tree(root: Path) -> Loaded:
    """Return the tree as ``load_tree`` does, every file of it read.

    For whoever writes what rests on all the others: a number, a likeness, a finding of
    nothing. Raises: TreeMissing; OSError where the machine does not give a file.
    """
    loaded = load_tree(root)
    for one in loaded.findings:
        if one.code == "file-unreadable":
            raise OSError(errno.EIO, one.message, str(root / one.path))
    return loaded


def load_lists(root: Path) -> dict[str, Any]:
    """Return the files of a tree that hold a list or the workshop, as the tree has them.

    Shape: what ``Tree`` calls them, with None for one that cannot be read.
    """
    loader = _Loader(root, _nothing_known)
    for name, (attribute, kind) in _SINGLE.items():
        if (root / "content" / name).is_file():
            loader.single[attribute] = loader._yaml(kind, f"content/{name}", kind.name)
    return loader.single


def load_captions(root: Path, path: str) -> tuple[Caption, ...]:
    """Return the captions in a file. Shape: none where it cannot be read."""
    loader = _Loader(root, _nothing_known)
    return loader.captions_in(path)


@dataclass(slots=True)
class _Loader:
    """Walks the content folder once and gathers what it finds."""

    root: Path
    known: Known
    findings: list[Finding] = field(default_factory=list)
    single: dict[str, Any] = field(default_factory=dict)
    numbers: dict[tuple[str, int], str] = field(default_factory=dict)
    notes: dict[int, Note] = field(default_factory=dict)
    families: dict[str, Any] = field(default_factory=dict)
    parts: dict[str, Any] = field(default_factory=dict)
    recordings: dict[str, RecordingFile] = field(default_factory=dict)
    captions: dict[str, tuple[str, tuple[Caption, ...]]] = field(default_factory=dict)
    questions: dict[int, Question] = field(default_factory=dict)
    fragments: list[Body] = field(default_factory=list)
    photos: list[str] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)

    def tree(self) -> Tree:
        """Return the tree of what could be read."""
        return Tree(
            root=self.root,
            notes=dict(sorted(self.notes.items())),
            families=dict(sorted(self.families.items())),
            parts=dict(sorted(self.parts.items())),
            recordings=dict(sorted(self.recordings.items())),
            questions=dict(sorted(self.questions.items())),
            fragments=tuple(self.fragments),
            photos=tuple(sorted(self.photos)),
            broken=frozenset(self.broken),
            **self.single,
        )

    def load(self) -> None:
        """Read every file of the content folder."""
        folders: dict[str, Callable[[str, str], None]] = {
            "notes": self._note,
            "families": lambda path, name: self._filed(FAMILY, self.families, path, name),
            "parts": lambda path, name: self._filed(PART, self.parts, path, name),
            "recordings": self._recording,
            "questions": self._question,
            "photos": self._photo,
        }
        for name, is_folder in self._entries("content"):
            path = f"content/{name}"
            if is_folder and name in folders:
                for inner, inner_is_folder in self._entries(path):
                    if inner_is_folder:
                        self._unknown(f"{path}/{inner}")
                    else:
                        folders[name](f"{path}/{inner}", inner)
            elif name in _SINGLE and not is_folder:
                attribute, kind = _SINGLE[name]
                self.single[attribute] = self._yaml(kind, path, kind.name)
                if self.single[attribute] is None:
                    self.broken.add(kind.name)
            elif name != _LEDGER or is_folder:
                self._unknown(path)
        self._join_captions()

    def _entries(self, folder: str) -> Iterator[tuple[str, bool]]:
        """Yield the names in a folder, sorted, and whether each is a folder itself.

        Scrap is passed over; a link that leads out of the tree, and what is neither
        file nor folder, is reported and passed over.
        """
        base = Path(os.path.realpath(self.root / "content"))
        folded: dict[str, str] = {}
        try:
            with os.scandir(self.root / folder) as scan:
                entries = sorted(scan, key=lambda entry: entry.name)
        except OSError as error:
            self._report("file-unreadable", folder, _reason(error), "look at the folder itself")
            return
        for entry in entries:
            path = f"{folder}/{entry.name}"
            if is_scrap(entry.name):
                continue
            if entry.is_symlink() and not Path(os.path.realpath(entry.path)).is_relative_to(base):
                self._report(
                    "link-outside",
                    path,
                    "this is a symbolic link that leads out of content/; it was not followed",
                    "put the file itself here",
                )
                continue
            try:
                mode = entry.stat().st_mode
            except OSError as error:
                self._report("file-unreadable", path, _reason(error), "look at the file itself")
                continue
            if not stat.S_ISDIR(mode) and not stat.S_ISREG(mode):
                self._report(
                    "file-unreadable", path, "this is neither a file nor a folder", "take it out"
                )
                continue
            twin = folded.setdefault(_folded(entry.name), entry.name)
            if twin != entry.name:
                self._report(
                    "name-collides",
                    path,
                    f"the name differs from `{twin}` in capitals only; on many disks "
                    "the two are one file",
                    "rename one of the two",
                )
            if is_reserved(entry.name):
                self._report(
                    "name-reserved",
                    path,
                    f"`{entry.name}` is the name of a device on Windows, with any ending; no "
                    "file of that name can be made there",
                    "give it another name",
                )
            yield entry.name, stat.S_ISDIR(mode)

    def bytes_of(
        self, path: str, limit: int, too_large: Callable[[str, int, int], Finding] = size_finding
    ) -> bytes | None:
        """Return the bytes of a file; None, with its finding, where it cannot be read."""
        try:
            with (self.root / path).open("rb") as file:
                size = os.fstat(file.fileno()).st_size
                if size > limit:
                    self.findings.append(too_large(path, size, limit))
                    return None
                return file.read(limit + 1)
        except OSError as error:
            self._report("file-unreadable", path, _reason(error), "look at the file itself")
            return None

    def _note(self, path: str, name: str) -> None:
        note = self._fronted(path, name, read_note, number_of)
        if isinstance(note, Note):
            self.notes[note.number] = note

    def _question(self, path: str, name: str) -> None:
        question = self._fronted(path, name, read_question, question_number_of)
        if isinstance(question, Question):
            self.questions[question.number] = question

    def _fronted(
        self,
        path: str,
        name: str,
        read: Callable[[str, bytes], tuple[Body | None, list[Finding]]],
        numbered: Callable[[str], int],
    ) -> Body | None:
        """Return a note or a question, or None where the file holds none or its number is taken.

        Such a note is a fragment; what an asker writes is held to nothing and leaves none.
        """
        if not name.endswith(".md"):
            self._unknown(path, ".md")
            return None
        body, findings = self._read(path, NOTE_LIMIT, read)
        self.findings += findings
        kind, number = ("question" if read is read_question else "note"), numbered(name)
        taken = self.numbers.setdefault((kind, number), path)
        if number and taken != path:
            self._report(
                "number-twice",
                path,
                f"number {number} is taken by {taken}",
                f"give this {kind} the next number that no {kind} has ever had",
            )
        elif isinstance(body, Note | Question):
            return body
        else:
            meant = re.match(r"[Qq]?0*([1-9][0-9]{0,5})(?![0-9])", name, re.ASCII)
            if meant:  # by a name of another form too, such as 17-words.md
                self.broken.add(f"{kind}:{meant[1]}")
        if body is not None and kind == "note":
            self.fragments.append(body)
        return None

    def _filed(self, kind: Kind[M], shelf: dict[str, Filed[M]], path: str, name: str) -> None:
        stem, dot, ending = name.rpartition(".")
        if not dot or ending != "yaml":
            self._unknown(path, ".yaml")
            return
        if not self._named(path, stem):
            return
        filed = self._yaml(kind, path, stem)
        if filed is None:
            self.broken.add(f"{kind.name}:{stem}")
        else:
            shelf[stem] = filed

    def _named(self, path: str, stem: str) -> bool:
        if ID_NAME.match(stem) and len(stem) <= 64:
            return True
        self._report(
            "name-wrong",
            path,
            f"`{stem}` is no id: small letters and digits, with single hyphens between, "
            "64 characters at most",
            f"name it {slug_of(stem) or 'by-its-name'}.yaml",
        )
        return False

    def _yaml(self, kind: Kind[M], path: str, name: str) -> Filed[M] | None:
        filed, findings = self._read(
            path, YAML_LIMIT, lambda path, data: read_filed(kind, path, data, name)
        )
        self.findings += findings
        if isinstance(filed, Body):
            self.fragments.append(filed)
            return None
        found: Filed[M] | None = filed
        return found

    def _read(
        self, path: str, limit: int, read: Callable[[str, bytes], tuple[Any, list[Finding]]]
    ) -> tuple[Any, list[Finding]]:
        """Return what reading a file gives, from what is known of it where it is known."""
        known = self.known(path)
        if known is not None:
            return known
        data = self.bytes_of(path, limit)
        if data is None:
            return None, []
        value, findings = read(path, data)
        if value is not None:
            value.source.set_down()
        return value, findings

    def _recording(self, path: str, name: str) -> None:
        stem, _, ending = name.rpartition(".")
        if ending not in ("vtt", "srt"):
            shelf: dict[str, Any] = {}
            self._filed(RECORDING, shelf, path, name)
            for key, filed in shelf.items():
                self.recordings[key] = RecordingFile(filed.id, filed.source, filed.model)
            return
        captions = self.captions_in(path)
        if stem not in self.captions or ending == "vtt":
            self.captions[stem] = (path, captions)

    def captions_in(self, path: str) -> tuple[Caption, ...]:
        """Return the captions in a file, none where it cannot be read."""
        data = self.bytes_of(path, YAML_LIMIT)
        text, findings = text_of(path, data, YAML_LIMIT) if data is not None else (None, [])
        self.findings += findings
        captions: tuple[Caption, ...] = ()
        if text is not None:
            captions, findings = captions_of(path, text)
            self.findings += findings
        return captions

    def _join_captions(self) -> None:
        for stem, (path, captions) in self.captions.items():
            filed = self.recordings.get(stem)
            if filed is not None:
                self.recordings[stem] = RecordingFile(
                    filed.id, filed.source, filed.model, captions, path
                )
            elif f"recording:{stem}" not in self.broken:
                self._report(
                    "file-unknown",
                    path,
                    f"captions of a recording `{stem}` that is not here",
                    f"add content/recordings/{stem}.yaml, or rename the captions",
                )

    def _photo(self, path: str, name: str) -> None:
        if not name.lower().endswith(_PICTURES):
            self._unknown(path)
            return
        from kbgen.content import photos  # a tree may have none

        self.photos.append(name)
        data = self.bytes_of(path, photos.PHOTO_LIMIT, photos.size_finding)
        if data is not None:
            self.findings += photos.photo_findings(path, data)

    def _unknown(self, path: str, ending: str = "") -> None:
        hint = "take it out of content/, or move it where its kind belongs"
        if ending and path.lower().endswith(_LIKE[ending]):
            hint = f"its name has to end in {ending}"
        self._report("file-unknown", path, "nothing here makes use of this", hint)

    def _report(self, code: str, path: str, message: str, hint: str) -> None:
        self.findings.append(finding(code, path, 1, 1, message, hint))


def _folded(name: str) -> str:
    """Return a name as a disk without regard to capitals and composition keeps it."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def _reason(error: OSError) -> str:
    return f"it cannot be read: {error.strerror or error}"
