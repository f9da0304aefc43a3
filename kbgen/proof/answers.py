"""One request → one answer. Only what the site holds is ever answered; no file is opened.

Source: RFC 9110 (methods, statuses), RFC 9111 (no-store), RFC 6761 and the Host header
against names that were led to this machine; W3C Fetch Metadata (Sec-Fetch-Site).
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from urllib.parse import parse_qs, unquote_to_bytes

from markupsafe import Markup

from kbgen.proof.panel import panel
from kbgen.proof.proofs import Leaf, Proofs

__all__ = ["EVENTS", "Answer", "Asked", "answer", "said"]

OWN = "/_proof/"
"""Where the proof's own files are; no page of a site has such an address."""

EVENTS = OWN + "events"

_TYPES = {
    "html": "text/html; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "xml": "application/xml; charset=utf-8",
    "txt": "text/plain; charset=utf-8",
    "svg": "image/svg+xml",
    "png": "image/png",
    "jpg": "image/jpeg",
    "webp": "image/webp",
    "woff2": "font/woff2",
}
_SAFE = (
    ("cache-control", "no-store"),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("referrer-policy", "no-referrer"),
)
_WORKER_POLICY = ("content-security-policy", "default-src 'none'; connect-src 'self'")


@dataclass(frozen=True, slots=True)
class Asked:
    """A request: its method, its target as it was sent, its header by small-letter name.

    Shape: of a header that was sent twice, both values, joined by a comma.
    """

    method: str
    target: str
    header: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Answer:
    """What goes back. Shape: ``header`` is name and value, without the length."""

    status: int
    header: tuple[tuple[str, str], ...]
    body: bytes


def answer(asked: Asked, proofs: Proofs, hosts: frozenset[str]) -> Answer:
    """Return the answer to a request; ``hosts`` are the names this server goes by."""
    if asked.header.get("host", "") not in hosts:
        return said(421, "This server answers to its own name only.")
    if asked.method not in ("GET", "HEAD"):
        return said(405, "Nothing can be changed here.", ("allow", "GET, HEAD"))
    fetched = asked.header.get("sec-fetch-site", "none")
    if fetched not in ("none", "same-origin") and asked.header.get("sec-fetch-mode") != "navigate":
        return said(403, "This is for its own pages.")
    path, _, query = asked.target.partition("?")
    if path.startswith(OWN):
        return _own(path.removeprefix(OWN), query, proofs)
    address = _address(path)
    if address is None:
        return said(404, "Nothing stands here.")
    return _page(address, proofs)


def said(status: int, words: str, *header: tuple[str, str]) -> Answer:
    """Return an answer that is a sentence."""
    kind = ("content-type", _TYPES["txt"])
    return Answer(status, (kind, *header, *_SAFE), f"{words}\n".encode())


def _address(path: str) -> str | None:
    """Return the address in the site that a path names, None where it can name none."""
    try:
        named = unquote_to_bytes(path).decode("utf-8")
    except UnicodeDecodeError:
        return None
    return named[1:] or "index.html" if named.startswith("/") else None


def _own(name: str, query: str, proofs: Proofs) -> Answer:
    """Return one of the proof's own files, or what stands beside a page."""
    if name == "beside.json":
        asked = parse_qs(query, max_num_fields=4).get("page", [""])[0]
        told = json.dumps(_beside(asked, proofs), ensure_ascii=False)
        return Answer(200, (("content-type", _TYPES["json"]), *_SAFE), told.encode())
    if name == "events":
        return Answer(200, (("content-type", "text/event-stream"), *_SAFE), b"")
    if name not in ("page.js", "worker.js"):
        return said(404, "Nothing stands here.")
    text = (files("kbgen.proof") / name).read_text(encoding="utf-8")
    policy = (_WORKER_POLICY,) if name == "worker.js" else ()
    return Answer(200, (("content-type", _TYPES["js"]), *policy, *_SAFE), text.encode())


def _beside(page: str, proofs: Proofs) -> dict[str, object]:
    """Return what the script of a page is told: whether the page changed, and its findings."""
    leaf = proofs.leaf(page)
    return {
        "number": proofs.reading.number,
        "mark": _mark(leaf),
        "panel": panel(proofs.reading, page, leaf),
        "drafts": [address for address, _ in proofs.reading.drafts],
    }


def _mark(leaf: Leaf) -> str:
    return hashlib.sha256(leaf.data).hexdigest()[:16] if leaf.data is not None else ""


def _page(address: str, proofs: Proofs) -> Answer:
    leaf = proofs.leaf(address)
    if leaf.data is None:
        return _html(404, proofs.leaf("404.html").data or _BARE, leaf, address, proofs)
    ending = address.rpartition(".")[2]
    if ending == "html":
        return _html(200, leaf.data, leaf, address, proofs)
    kind = _TYPES.get(ending, "application/octet-stream")
    return Answer(200, (("content-type", kind), *_SAFE), leaf.data)


_BARE = (
    b'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>Proof</title>'
    b'<meta name="viewport" content="width=device-width"></head><body>\n</body></html>\n'
)
"""What carries the findings of a tree of which no page can be made yet."""


def _html(status: int, data: bytes, leaf: Leaf, page: str, proofs: Proofs) -> Answer:
    """Return a page with what stands beside it put in before its end."""
    beside = Markup(
        '<aside id="_proof" aria-label="Findings" data-page="{}" data-mark="{}" data-drafts="{}">'
        '{}</aside>\n<script src="{}page.js"></script>\n'
    ).format(
        page,
        _mark(leaf),
        " ".join(address for address, _ in proofs.reading.drafts),
        panel(proofs.reading, page, leaf),
        OWN,
    )
    before, end, after = data.rpartition(b"</body>")
    whole = b"".join((before, beside.encode(), end, after)) if end else data + beside.encode()
    return Answer(status, (("content-type", _TYPES["html"]), *_SAFE), whole)
