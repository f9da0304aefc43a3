"""What is asked is answered from the site alone, and only to its own pages.

Attacks after OWASP, Path Traversal and DNS rebinding; CWE-22, CWE-350.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.proof import Proofs
from kbgen.proof.answers import Answer, Asked, answer

BASE = Path(__file__).parents[2] / "cases" / "base"
HOST = "127.0.0.1:8017"
HOSTS = frozenset({HOST, "localhost:8017"})


def asked(proofs: Proofs, target: str, method: str = "GET", **header: str) -> Answer:
    named = {name.replace("_", "-"): value for name, value in header.items()}
    return answer(Asked(method, target, {"host": HOST} | named), proofs, HOSTS)


def value(found: Answer, name: str) -> str:
    return dict(found.header)[name]


def test_a_page_with_its_findings(proofs: Proofs) -> None:
    found = asked(proofs, "/n/0001.html")
    text = found.body.decode()
    assert found.status == 200
    assert value(found, "content-type") == "text/html; charset=utf-8"
    assert value(found, "cache-control") == "no-store"
    assert value(found, "x-content-type-options") == "nosniff"
    page = (proofs.leaf("n/0001.html").data or b"").decode()
    before, end, _ = page.rpartition("</body>")
    assert text.startswith(before + '<aside id="_proof"')
    assert text.endswith('<script src="/_proof/page.js"></script>\n' + end + "\n</html>\n")


@pytest.mark.parametrize(
    ("target", "kind"),
    [
        ("/", "text/html; charset=utf-8"),
        ("/index.html?x=1", "text/html; charset=utf-8"),
        ("/%6e/0001.html", "text/html; charset=utf-8"),
        ("/icon.svg", "image/svg+xml"),
        ("/scripts/find.js", "text/javascript; charset=utf-8"),
        ("/fonts/sofia-sans.woff2", "font/woff2"),
        ("/feed.xml", "application/xml; charset=utf-8"),
        ("/robots.txt", "text/plain; charset=utf-8"),
        ("/_proof/page.js", "text/javascript; charset=utf-8"),
        ("/_proof/worker.js", "text/javascript; charset=utf-8"),
        ("/_proof/events", "text/event-stream"),
    ],
)
def test_what_there_is(proofs: Proofs, target: str, kind: str) -> None:
    found = asked(proofs, target)
    assert (found.status, value(found, "content-type")) == (200, kind)


@pytest.mark.parametrize(
    "target",
    [
        "/n/9999.html", "/n", "/n/", "//n/0001.html", "/./index.html", "/n/../index.html",
        "/../content/workshop.yaml", "/content/workshop.yaml", "/%2e%2e/content/workshop.yaml",
        "/..%2fcontent/workshop.yaml", "/%2e%2e%5ccontent%5cworkshop.yaml", "/index.html%00",
        "/%00", "/%ff", "/%", "/%zz", "/index.html/", "/C:/windows", "/.kbgen/x",
        "/etc/passwd", "//etc/passwd", "/n%2f0001.html%2f..%2f0001.html", "/_proof/",
        "/_proof/../proofs.py", "/_proof/proofs.py", "/_proof/page.js/", "/_PROOF/page.js",
        "*", "index.html", "http://127.0.0.1:8017/index.html", "/" + "a" * 9000,
    ],
)  # fmt: skip
def test_what_there_is_not(proofs: Proofs, target: str) -> None:
    found = asked(proofs, target)
    assert found.status == 404
    assert b"base_address" not in found.body
    assert b"from __future__" not in found.body


@settings(max_examples=150, deadline=None)
@given(
    method=st.sampled_from(["GET", "HEAD", "POST"]),
    target=st.text(st.characters(max_codepoint=255)).map(lambda text: f"/{text}")
    | st.sampled_from(["/_proof/beside.json?page=", "/_proof/events?", "/n/"]).flatmap(
        lambda start: st.text().map(lambda text: start + text)
    ),
    header=st.dictionaries(st.sampled_from(["sec-fetch-site", "sec-fetch-mode"]), st.text()),
)
def test_whatever_is_asked_is_answered(
    one: Proofs, method: str, target: str, header: dict[str, str]
) -> None:
    found = answer(Asked(method, target, {"host": HOST} | header), one, HOSTS)
    assert found.status in (200, 403, 404, 405)


@pytest.fixture(scope="module")
def one(tmp_path_factory: pytest.TempPathFactory) -> Proofs:
    """The proofs of a tree that nothing changes."""
    root = tmp_path_factory.mktemp("one") / "tree"
    shutil.copytree(BASE, root)
    found = Proofs(root)
    found.renew()
    return found


def test_a_link_in_the_tree_leads_nowhere(root: Path, proofs: Proofs) -> None:
    (root / "content" / "photos").mkdir(exist_ok=True)
    (root / "content" / "photos" / "x.jpg").symlink_to("/etc/hostname")
    proofs.renew()
    assert asked(proofs, "/photos/x.jpg").status == 404
    assert asked(proofs, "/content/photos/x.jpg").status == 404


def test_a_page_that_is_not_there_yet_carries_its_findings(root: Path, proofs: Proofs) -> None:
    (root / "content/notes/0002-b.md").write_text("---\ntitle: B\n---\n", encoding="utf-8")
    proofs.renew()
    found = asked(proofs, "/n/0002.html")
    assert found.status == 404
    assert b"There is no such page." in found.body
    assert b"content/notes/0002-b.md:1:" in found.body or b"0002-b.md:2:" in found.body
    assert b'<script src="/_proof/page.js">' in found.body
    (root / "content/workshop.yaml").write_text("name: x\n", encoding="utf-8")
    begun = Proofs(root)
    begun.renew()
    bare = asked(begun, "/about.html")
    assert bare.status == 404
    assert bare.body.startswith(b"<!doctype html>")
    assert b"content/workshop.yaml:1:1" in bare.body


@pytest.mark.parametrize("host", ["", "evil.example", "127.0.0.1", "127.0.0.1:80", "localhost"])
def test_another_name_is_turned_away(proofs: Proofs, host: str) -> None:
    found = answer(Asked("GET", "/index.html", {"host": host}), proofs, HOSTS)
    assert found.status == 421
    assert b"Larch" not in found.body


def test_its_two_names_are_answered(proofs: Proofs) -> None:
    for host in HOSTS:
        assert answer(Asked("GET", "/", {"host": host}), proofs, HOSTS).status == 200


@pytest.mark.parametrize(
    "method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "X", "get"]
)
def test_nothing_can_be_changed(proofs: Proofs, method: str) -> None:
    found = asked(proofs, "/index.html", method)
    assert (found.status, value(found, "allow")) == (405, "GET, HEAD")


def test_only_its_own_pages_may_fetch(proofs: Proofs) -> None:
    for site in ("cross-site", "same-site"):
        assert asked(proofs, "/_proof/beside.json", sec_fetch_site=site).status == 403
        assert asked(proofs, "/", sec_fetch_site=site, sec_fetch_mode="no-cors").status == 403
        assert asked(proofs, "/", sec_fetch_site=site, sec_fetch_mode="navigate").status == 200
    found = asked(proofs, "/", sec_fetch_site="same-origin")
    assert found.status == 200
    assert value(found, "x-frame-options") == "DENY"
    assert value(found, "cross-origin-resource-policy") == "same-origin"


def test_what_the_script_of_a_page_is_told(root: Path, proofs: Proofs) -> None:
    def told(page: str) -> dict[str, object]:
        answered = asked(proofs, f"/_proof/beside.json?page={page}")
        found: dict[str, object] = json.loads(answered.body)
        return found

    first = told("n/0001.html")
    assert first["number"] == 1
    page = asked(proofs, "/n/0001.html").body.decode()
    assert f'data-mark="{first["mark"]}"' in page
    note = root / "content/notes/0001-winder-tyre-slips.md"
    note.write_text(note.read_text(encoding="utf-8") + "\nThen rest.\n", encoding="utf-8")
    proofs.renew()
    second = told("n/0001.html")
    assert (second["number"], second["drafts"]) == (2, [])
    assert second["mark"] != first["mark"]
    assert told("r/winder-evening.html")["mark"] == told("r/winder-evening.html")["mark"]
    assert told("../x")["mark"] == ""
    assert told("")["mark"] == ""
