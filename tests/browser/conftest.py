from __future__ import annotations

import functools
import http.server
import shutil
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


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with launched() as browser:
        yield browser


@pytest.fixture(scope="session")
def over_http(site: Path) -> Iterator[str]:
    """The address of the site on this machine, in a folder below the server's root."""
    handler = functools.partial(QuietHandler, directory=str(site.parent.parent))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
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
