"""What goes into a bag: the sources, the site made of them, and what is needed to read both."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

import kbgen
from kbgen.checks import Checked
from kbgen.content import schemas
from kbgen.pages import packaged_templates

__all__ = ["described", "program_files", "source_files"]

_SCRAP = re.compile(r"^\.|~$|\.(?:swp|swo|bak|orig|rej|tmp|pyc)$|^__pycache__$")


def source_files(root: Path, checked: Checked) -> Iterator[tuple[str, Path]]:
    """Yield path in the bag and file of every source of the site: content and templates.

    Scrap, links and files that nothing makes use of stay behind: they may be private.
    """
    useless = {one.path for one in checked.findings if one.code in ("file-unknown", "link-outside")}
    for name in ("content", "templates"):
        for path, file in _plain_files(root / name, name):
            if path not in useless:
                yield path, file


def program_files() -> Iterator[tuple[str, Path]]:
    """Yield path in the bag and file of the program's own source, templates included."""
    package = Path(kbgen.__file__).parent
    for path, file in _plain_files(package, "program/kbgen"):
        if not path.startswith("program/kbgen/templates/"):
            yield path, file
    yield from _plain_files(packaged_templates(), "program/kbgen/templates")


def _plain_files(folder: Path, named: str) -> Iterator[tuple[str, Path]]:
    """Yield every plain file below a folder, sorted; links and scrap are passed over."""
    if not folder.is_dir():
        return
    with os.scandir(folder) as entries:
        found = sorted(entries, key=lambda entry: entry.name)
    for entry in found:
        if _SCRAP.search(entry.name) or entry.is_symlink():
            continue
        path = f"{named}/{entry.name}"
        if entry.is_dir():
            yield from _plain_files(Path(entry.path), path)
        elif entry.is_file():
            yield path, Path(entry.path)


def described(checked: Checked) -> Iterator[tuple[str, bytes]]:
    """Yield what is written for the bag: the schemas, the libraries, the words for a reader."""
    for name, schema in schemas().items():
        text = json.dumps(schema, ensure_ascii=False, indent=2) + "\n"
        yield f"schemas/{name}", text.encode()
    libraries = "".join(f"{name}=={version}\n" for name, version in _libraries())
    yield "program/libraries.txt", libraries.encode()
    licence = _licence()
    if licence:
        yield "program/LICENSE", licence
    yield "READ-ME.txt", _read_me(checked).encode()


def _libraries() -> list[tuple[str, str]]:
    """Return every library that the program runs with here, and those that these need."""
    found: dict[str, str] = {}
    wanted = ["kbgen"]
    while wanted:
        name = wanted.pop()
        try:
            package = distribution(name)
        except PackageNotFoundError:
            continue
        plain = re.sub(r"[-_.]+", "-", package.metadata["Name"]).lower()
        if plain in found:
            continue
        found[plain] = package.version
        for need in package.requires or ():
            match = re.match(r"[A-Za-z0-9._-]+", need)
            if match and "extra ==" not in need:
                wanted.append(match[0])
    found.pop("kbgen", None)
    return sorted(found.items())


def _licence() -> bytes | None:
    """Return the program's licence, from a clone or from where it was installed."""
    beside = Path(kbgen.__file__).parents[1] / "LICENSE"
    if beside.is_file():
        return beside.read_bytes()
    try:
        files = distribution("kbgen").files or []
    except PackageNotFoundError:
        return None
    for file in files:
        if file.name == "LICENSE":
            return Path(str(file.locate())).read_bytes()
    return None


def _read_me(checked: Checked) -> str:
    workshop = checked.tree.workshop
    assert workshop is not None  # it was published
    licence = workshop.licence or "not stated; ask before you pass it on"
    return f"""\
{workshop.name}: what we know about repairs
{"=" * (len(workshop.name) + 32)}

This folder is the whole knowledge base of {workshop.name}. You need no program to read it.

To read
-------
Open site/index.html in any browser. It works from the disk, without a network.

What there is
-------------
site/       the pages as they were published
content/    what they are made of: plain text in UTF-8 (Markdown, YAML) and pictures
  notes/       one repair write-up a file; its number is permanent
  families/    one machine family a file, with the register of its fasteners: every thread,
               what it rests on and what was corrected
  parts/       parts, what they fit and what they harm
  recordings/  films, their chapters, and what was said in them
  questions/   what people asked, under aliases
  photos/      the pictures as they were taken
  hazards.yaml, threads.yaml, symptoms.yaml, vocabulary.yaml, workshop.yaml
               cautions; threads of our own; headings; lay words and trade words; the workshop
  addresses.tsv
               every address ever given out, a tab, and where it leads today: keep it
schemas/    what may stand in each kind of file (JSON Schema, 2020-12)
program/    the program that made the pages, kbgen {kbgen.__version__}, as source
templates/  pages of the workshop's own shape, where it had any

In a note, what stands between the two lines of --- is about the note: whom it is for, the
complaint, the causes, the cautions. Below them are the steps, in Markdown. A link such as
(note:17), (part:ID), (family:ID), (fastener:FAMILY/ROW) or (recording:ID@12:40) names another
file here; its address on the site is n/0017.html, p/ID.html, m/ID.html or r/ID.html.

To make the pages again
-----------------------
With Python 3.11 or later, in a copy of the folder that holds this file (the program keeps
notes of its own beside the content, and the bag is to stay as it is):

    python3 -m venv ../kbgen-python
    ../kbgen-python/bin/python -m pip install -r program/libraries.txt
    PYTHONPATH=program ../kbgen-python/bin/python -m kbgen build --tree . --into ../site-again

The second line needs a network, or those libraries on a disk (pip install --no-index
--find-links FOLDER). The program itself needs neither network nor server. The pages come
out as they stand in site/, byte for byte.

To see that nothing is lost
---------------------------
The folder above this one is a bag after RFC 8493: its manifest lists the SHA-512 of every
file here. Any program for bags checks it; so do

    sha512sum -c manifest-sha512.txt          (in the folder above)
    kbgen bag --verify FOLDER

Licence
-------
The texts and pictures: {licence}
The program: MIT, see program/LICENSE.

The advice here does not replace judgement at the machine. Work on mains wiring, old coatings
and asbestos belongs to licensed people and local codes.
"""
