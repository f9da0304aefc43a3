from __future__ import annotations

import functools
import http.server
import shutil
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from chromium import launched
from kinds import one_of_each
from playwright.sync_api import Browser

from kbgen.build import build

ROOT = Path(__file__).resolve().parents[2]


class QuietHandler(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        pass


class QuietServer(http.server.ThreadingHTTPServer):
    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing of a browser that went on before it had read everything."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration, built from a copy: a build writes the address ledger."""
    tree = tmp_path_factory.mktemp("tree")
    shutil.copytree(ROOT / "content", tree / "content")
    out = tmp_path_factory.mktemp("served") / "under" / "here"
    out.parent.mkdir()
    built = build(tree, out)
    assert built.published, built.findings
    return out


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A browser for the tests of one module: while it runs, no other loop of events can."""
    with launched() as browser:
        yield browser


@pytest.fixture(scope="session")
def over_http(site: Path) -> Iterator[str]:
    """The address of the site on this machine, in a folder below the server's root."""
    handler = functools.partial(QuietHandler, directory=str(site.parent.parent))
    with QuietServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_address[1]}/under/here/"
        server.shutdown()
        thread.join()


@pytest.fixture(scope="session")
def from_disk(site: Path) -> str:
    return site.as_uri() + "/"


@pytest.fixture(params=["http", "file"])
def base(request: pytest.FixtureRequest) -> str:
    """The address of the site, once over http and once from the disk."""
    name = {"http": "over_http", "file": "from_disk"}[request.param]
    address: str = request.getfixturevalue(name)
    return address


@pytest.fixture(scope="session")
def kinds(site: Path) -> list[str]:
    return one_of_each(site)
