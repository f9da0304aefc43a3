"""No command asks the network for anything; every dependency's licence is open and listed.

Python tells of every socket that is made, every name that is looked up and every
program that is started; none of these may happen. Source: PEP 578, audit events.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from importlib import metadata
from pathlib import Path

import pytest

from kbgen.commands import NAMES

ROOT = Path(__file__).resolve().parents[2]
WATCHED = """
import sys
def watch(event, arguments):
    if event.startswith(("socket.", "subprocess.", "os.system", "os.exec", "os.posix_spawn",
                         "urllib.", "http.client.", "ftplib.", "smtplib.")):
        if event == "socket.__new__" and arguments[1] == socket_of_this_machine:
            return
        print("NETWORK", event, arguments, file=sys.__stderr__)
        raise PermissionError(event)
import socket
socket_of_this_machine = getattr(socket, "AF_UNIX", None)
sys.addaudithook(watch)
from kbgen.cli import main
sys.exit(main(sys.argv[1:]))
"""
# The proof is a server on this machine; that it is nothing more is held by its own tests.
LOCAL = {"proof"}
RUNS: dict[str, list[str]] = {
    "build": [],
    "inspect": [],
    "find": ["winder"],
    "scan": ["content/families/halverin-h.yaml"],
    "thread": ["1/4-20 UNC"],
    "fit": ["--screw", "3/8-24 UNF", "--hole", "3/8-28 UN"],
    "torque": ["4 N·m", "--thread", "M6x1"],
    "identify": ["--major", "3.55mm", "--pitch", "40tpi"],
    "serial": ["HA 24001", "--family", "halverin-h"],
    "jot": ["--help"],
    "intake": ["-"],
    "reply": ["Q0003", "--note", "1"],
    "rundown": ["--day", "2026-04-10"],
    "wanted": ["--day", "2026-04-10"],
    "bag": ["../bag"],
    "shownotes": ["winder-evening"],
    "heard": ["winder-evening"],
    "told": [],
    "schema": ["schemas"],
}


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("offline")
    shutil.copytree(ROOT / "tests" / "golden" / "tree" / "content", root / "content")
    return root


def run(tree: Path, words: list[str], program: str = WATCHED) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", program, *words],
        cwd=tree,
        capture_output=True,
        text=True,
        check=False,
        input="",
    )


@pytest.mark.parametrize("name", NAMES)
def test_no_command_asks_the_network(tree: Path, name: str) -> None:
    ran = run(tree, [name, *(["--help"] if name in LOCAL else RUNS[name])])
    assert "NETWORK" not in ran.stderr, ran.stderr
    assert "Traceback" not in ran.stderr, ran.stderr
    assert ran.returncode in (0, 1), ran.stderr


def test_a_command_that_asked_would_be_seen(tree: Path) -> None:
    asks = WATCHED.replace(
        "from kbgen.cli import main", "socket.create_connection(('127.0.0.1', 9))"
    )
    assert "NETWORK socket." in run(tree, [], asks).stderr


OPEN = re.compile(
    r"MIT|BSD|Apache|Python Software Foundation|PSF|HPND|ISC|MPL|Mozilla|Historical Permission|"
    r"CMU|LGPL|Zlib|Unlicense|0BSD|CC0|GPL|Public Domain"
)


def lines_of_the_list() -> dict[str, str]:
    """Return the list of licences: name in small letters → licence."""
    text = (ROOT / "tests" / "DEPENDENCIES.md").read_text("utf-8")
    rows = re.findall(r"^\| `([A-Za-z0-9._-]+)` \| ([^|]+) \|", text, re.MULTILINE)
    return {_normal(name): licence.strip() for name, licence in rows}


def test_every_dependency_is_listed_with_an_open_licence() -> None:
    lock = (ROOT / "tests" / "requirements.lock").read_text("utf-8")
    locked = {_normal(name) for name in re.findall(r"^([A-Za-z0-9._-]+)==", lock, re.MULTILINE)}
    listed = lines_of_the_list()
    assert set(listed) == locked
    assert {name: licence for name, licence in listed.items() if not OPEN.search(licence)} == {}


def test_everything_locked_has_a_hash() -> None:
    lock = (ROOT / "tests" / "requirements.lock").read_text("utf-8")
    blocks = re.findall(
        r"^([A-Za-z0-9._-]+==\S+) \\\n((?:    --hash=\S+(?: \\)?\n)+)", lock + "\n", re.MULTILINE
    )
    assert len(blocks) == len(re.findall(r"^[A-Za-z0-9._-]+==", lock, re.MULTILINE)) > 20


def _normal(name: str) -> str:
    """Return a name as registries compare it. Source: PEP 503."""
    return re.sub(r"[-_.]+", "-", name).lower()


def test_what_runs_is_what_is_stated() -> None:
    stated = {
        _normal(re.split(r"[<>=\[; ]", need)[0])
        for need in metadata.requires("kbgen") or ()
        if "extra ==" not in need
    }
    assert stated <= set(lines_of_the_list())
