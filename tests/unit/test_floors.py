"""The house has floors: a room imports only from floors below it, never sideways.

The floors are those of the developers' guide. A room that is not listed here fails,
so that a new one has to be given its floor.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import kbgen

PACKAGE = Path(kbgen.__file__).parent

# room: (floor, the packages and modules that are this room)
ROOMS: dict[str, tuple[int, frozenset[str]]] = {
    "text": (0, frozenset({"text"})),
    "disk": (0, frozenset({"disk"})),
    "patterns": (0, frozenset({"patterns"})),
    "kept": (0, frozenset({"kept"})),
    "findings": (1, frozenset({"findings"})),
    "serials": (1, frozenset({"serials"})),
    "units": (1, frozenset({"units"})),
    "personal": (1, frozenset({"personal"})),
    "content": (2, frozenset({"content"})),
    "prose": (3, frozenset({"prose"})),
    "links": (3, frozenset({"links"})),
    "checks": (4, frozenset({"checks"})),
    "search": (5, frozenset({"search"})),
    "pages": (5, frozenset({"pages"})),
    "desk": (6, frozenset({"desk"})),
    "build": (7, frozenset({"build", "publish"})),
    "outside": (8, frozenset({"proof", "jot", "bag", "commands", "cli", "__main__"})),
}
ROOM_OF = {name: room for room, (_, names) in ROOMS.items() for name in names}

# A library that only one room may touch.
ONLY_USER = {"yaml": "content", "markdown_it": "content", "jinja2": "pages", "whoosh": "search"}

MODULES = sorted(path for path in PACKAGE.rglob("*.py") if path != PACKAGE / "__init__.py")


def module_name(path: Path) -> str:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(("kbgen", *(part for part in parts if part != "__init__")))


def imports_of(path: Path) -> Iterator[tuple[int, str, tuple[str, ...]]]:
    """Yield line, module and the names taken from it, wherever in the file they stand."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name, ()) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: imports are written out in full"
            yield node.lineno, node.module or "", tuple(alias.name for alias in node.names)


def lines_for_types_only(path: Path) -> frozenset[int]:
    """Return the lines under ``if TYPE_CHECKING:``, which are read by the type checker alone."""
    found: set[int] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING":
            for inner in node.body:
                found.update(range(inner.lineno, (inner.end_lineno or inner.lineno) + 1))
    return frozenset(found)


def rooms_taken(module: str, names: tuple[str, ...]) -> tuple[str, ...]:
    """Return the top-level modules of kbgen that one import reaches."""
    if module == "kbgen":
        return tuple(name for name in names if name != "__version__")
    if module.startswith("kbgen."):
        return (module.split(".")[1],)
    return ()


def sideways_or_up(path: Path, source: str) -> list[str]:
    """Return a line for every import of ``source`` that leaves the floors."""
    own = ROOM_OF[source]
    wrong = []
    for line, module, names in imports_of(path):
        for top in rooms_taken(module, names):
            other = ROOM_OF.get(top)
            if other == own:
                continue
            if other is None or ROOMS[other][0] >= ROOMS[own][0]:
                wrong.append(f"{path.name}:{line}: {own} imports {top}")
    return wrong


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_a_room_imports_only_from_floors_below(path: Path) -> None:
    top = module_name(path).split(".")[1]
    assert top in ROOM_OF, f"{top} has no floor in this test"
    assert sideways_or_up(path, top) == []


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_a_library_has_one_user(path: Path) -> None:
    own = ROOM_OF[module_name(path).split(".")[1]]
    types_only = lines_for_types_only(path)
    for line, module, _ in imports_of(path):
        if line in types_only:
            continue
        user = ONLY_USER.get(module.split(".")[0], own)
        assert user == own, f"{path.name}:{line}: {module} belongs to {user}"


@pytest.mark.parametrize(
    "path", [path for path in MODULES if path.name == "__init__.py"], ids=module_name
)
def test_a_package_says_what_it_is_for_and_names_what_is_public(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree)
    assert public_names(path) is not None


def public_names(path: Path) -> frozenset[str] | None:
    """Return what a module names in ``__all__``, None without one."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__":
            return frozenset(ast.literal_eval(node.value))
    return None


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_another_room_is_entered_by_its_public_names(path: Path) -> None:
    own = ROOM_OF[module_name(path).split(".")[1]]
    for line, module, names in imports_of(path):
        for top in rooms_taken(module, names):
            if ROOM_OF.get(top) == own or not (PACKAGE / top).is_dir():
                continue
            public = public_names(PACKAGE / top / "__init__.py") or frozenset()
            inner = module.split(".")[2:]
            taken = inner[:1] if inner else [name for name in names if module != "kbgen"]
            private = sorted(set(taken) - public)
            assert not private, f"{path.name}:{line}: {top} keeps {', '.join(private)} to itself"


@pytest.mark.parametrize(
    ("room", "text", "wrong"),
    [
        pytest.param("units", "from kbgen.content import load_tree", 1, id="up"),
        pytest.param("prose", "import kbgen.links", 1, id="sideways"),
        pytest.param("links", "def f():\n    from kbgen.checks import check", 1, id="inside"),
        pytest.param("findings", "from kbgen import units", 1, id="by the package"),
        pytest.param("checks", "from kbgen.attic import x", 1, id="a room without a floor"),
        pytest.param("checks", "from kbgen.links import x\nfrom kbgen import __version__", 0),
        pytest.param("units", "import kbgen.units.scan", 0, id="its own room"),
    ],
)
def test_the_test_sees_what_leaves_the_floors(
    room: str, text: str, wrong: int, tmp_path: Path
) -> None:
    path = tmp_path / "module.py"
    path.write_text(text, encoding="utf-8")
    assert len(sideways_or_up(path, room)) == wrong


def test_the_modules_are_found() -> None:
    assert {"kbgen.text", "kbgen.findings.code"} <= {module_name(path) for path in MODULES}
    assert sys.version_info >= (3, 11)
