"""The one user of Jinja: templates in, pages out, the style inlined under a strict policy.

A tree's own ``templates/`` replaces single files; what it does not bring is taken
from the templates that come with the program.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Mapping, Sequence
from functools import cache, cached_property, lru_cache, partial
from pathlib import Path
from typing import Any

import jinja2
from jinja2 import nodes
from jinja2.ext import Extension
from jinja2.parser import Parser
from markupsafe import Markup, escape

from kbgen.pages.figures import day, stamp, with_fractions
from kbgen.pages.views import Page

__all__ = ["Templates", "packaged_templates", "relative"]

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_AROUND = re.compile(r"\s*([{}:;,>])\s*")
_SPACES = re.compile(r"\s+")
_BLANK_LINES = re.compile(r"\n\s+")
_FACE = re.compile(r"@font-face\{[^}]*\}")
_SHEETS = {
    "card": "caution.css card.css",
    "pitches": "card.css",
    **dict.fromkeys(("about", "question"), "style.css caution.css"),
    "note": "style.css caution.css note.css",
    "thread": "style.css thread.css",
    "rundown": "rundown.css",
    **dict.fromkeys(("measure", "serial", "torque"), "style.css tools.css"),
    **dict.fromkeys(("home", "find"), "style.css asking.css"),
    "family": "style.css machine.css",
    "part": "style.css part.css",
    "recording": "style.css recording.css",
}
"""The style of each kind that needs more than the one that all share, or another."""
_HREF = re.compile(r'href="([^"#]+)')
_TIES = "<!--ties-->"
_STYLE = Markup("<!--style-->")
"""Stands for the style, a third of a page, until its text is done with."""
_ROOT = 'href="root:'
_ROOTED = re.compile(_ROOT + r'([^"]*)')
_OUTSIDE = re.compile(r"[a-z][a-z0-9+.-]*:")


def packaged_templates() -> Path:
    """Return the folder of templates that comes with the program, from a wheel or a clone."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "templates"
    return inside if inside.is_dir() else package.parent / "templates"


def relative(start: str, address: str) -> str:
    """Return ``address`` (from the root of the site) as seen from the page ``start``.

    Shape: an outside address comes back as it is; an anchor of the same page as ``#...``.
    """
    path, hash_, anchor = address.partition("#")
    if hash_ and path == start:
        return "#" + anchor
    return _from_folder(start.rpartition("/")[0], address)


@lru_cache(maxsize=16_384)  # the same ways lead from all pages of a folder
def _from_folder(folder: str, address: str) -> str:
    if _OUTSIDE.match(address):
        return address
    path, hash_, anchor = address.partition("#")
    here, there = folder.split("/") if folder else [], path.split("/")
    shared = 0
    while shared < min(len(here), len(there) - 1) and here[shared] == there[shared]:
        shared += 1
    return "../" * (len(here) - shared) + "/".join(there[shared:]) + hash_ + anchor


class _Compiled(jinja2.BytecodeCache):
    """Templates compiled once in a process, each until its text changes."""

    def __init__(self) -> None:
        self._codes: dict[str, bytes] = {}

    def load_bytecode(self, bucket: jinja2.bccache.Bucket) -> None:
        """Fill in what was compiled of the very same text."""
        if bucket.key in self._codes:
            bucket.bytecode_from_string(self._codes[bucket.key])

    def dump_bytecode(self, bucket: jinja2.bccache.Bucket) -> None:
        """Keep what was compiled."""
        self._codes[bucket.key] = bucket.bytecode_to_string()


_COMPILED = _Compiled()


class _Template(jinja2.Template):
    """A template that puts markup out as it is; to copy each piece is a tenth of its work."""

    @classmethod
    def from_code(cls, *given: Any) -> jinja2.Template:
        """Return a template of compiled code, in which ``escape`` is the name of a function."""
        made = super().from_code(*given)
        made.root_render_func.__globals__["escape"] = _escaped
        return made


def _escaped(value: object) -> Markup:
    if type(value) is Markup:
        return value
    return _escaped_text(value) if type(value) is str else escape(value)


_escaped_text = lru_cache(maxsize=16_384)(escape)  # most stand on page after page


class _Section(Extension):
    """A part of a page under its heading: ``{% section "fix", "The fix" %}`` to ``endsection``."""

    tags = {"section"}  # noqa: RUF012 - Jinja declares it so

    def parse(self, parser: Parser) -> list[nodes.Node]:
        """Return what stands between the tags, and around it what the text of a template would."""
        line = next(parser.stream).lineno
        name = parser.parse_expression()
        parser.stream.expect("comma")
        title = parser.parse_expression()
        body = parser.parse_statements(("name:endsection",), drop_needle=True)
        opening = [
            *(nodes.TemplateData('<section aria-labelledby="_'), name),
            *(nodes.TemplateData('"><h2 id="_'), name, nodes.TemplateData('">'), title),
            nodes.TemplateData('</h2>\n<div class="b">\n'),
        ]
        closing = [nodes.TemplateData("\n</div></section>\n")]
        return [
            nodes.Output(opening, lineno=line),
            *body,
            nodes.Output(closing, lineno=line),
        ]


class Templates:
    """Templates of a tree, laid over those of the program.

    Shape: ``shared`` is what every page may use: the workshop's view and its navigation;
    its ``ties``, if any, are the addresses of parts that were not bought, each with how it
    was come by and its name.
    """

    def __init__(self, folder: Path | None, shared: Mapping[str, Any]) -> None:
        places = [packaged_templates()]
        if folder is not None and folder.is_dir():
            places.insert(0, folder)
        self._places = tuple(places)
        self._shared = dict(shared)
        self._base: str = shared["workshop"].base
        self._ties: Mapping[str, tuple[str, str]] = shared.get("ties", {})

    @cached_property
    def _environment(self) -> jinja2.Environment:
        """The templates ready to be filled; the macros are at hand in each of them."""
        made = jinja2.Environment(
            loader=jinja2.FileSystemLoader(self._places),
            autoescape=True,
            undefined=jinja2.StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            extensions=[_Section],
            bytecode_cache=_COMPILED,
            auto_reload=False,  # one set of templates is of one moment
        )
        made.template_class = _Template
        made.filters.update(day=day, stamp=stamp, fractions=with_fractions)
        made.globals.update(self._shared)
        macros = made.get_template("macros.html").module
        made.globals.update({name: macro for name, macro in vars(macros).items() if name[0] != "_"})
        return made

    def compile(self) -> None:
        """Compile every template, else done when it is first asked for."""
        for name in self._environment.list_templates(extensions=["html"]):
            self._environment.get_template(name)

    def file(self, name: str) -> bytes:
        """Return a file that is copied as it is, the tree's own where it has one."""
        for place in self._places:
            if (place / name).is_file():
                return (place / name).read_bytes()
        raise FileNotFoundError(f"no {name} among the templates in {self._places[-1]}")

    @cached_property
    def digest(self) -> bytes:
        """A digest of every template and of what all pages share."""
        whole = hashlib.blake2b(repr(sorted(self._shared.items())).encode(), digest_size=16)
        for place in self._places:
            for path in sorted(place.rglob("*")):
                if path.is_file():
                    whole.update(path.relative_to(place).as_posix().encode())
                    whole.update(hashlib.blake2b(path.read_bytes(), digest_size=16).digest())
            whole.update(b"/")
        return whole.digest()

    @cache  # noqa: B019 - one set of templates lives as long as a build
    def _inlined(self, sheet: str, to_root: str | None) -> tuple[bytes, str]:
        """Return the style for pages that reach the root by ``to_root``, and its digest.

        Shape: a page that stands at no address of its own loads no font.
        """
        written = "".join(
            self.file(name).decode("utf-8") for name in ("ground.css", *sheet.split())
        )
        style = _SPACES.sub(" ", _COMMENT.sub("", written))
        style = _AROUND.sub(r"\1", style).replace(";}", "}").strip()
        style = _FACE.sub("", style) if to_root is None else style
        style = style.replace("url(fonts/", f"url({to_root}fonts/")
        data = style.encode("utf-8")
        digest = base64.b64encode(hashlib.sha256(data).digest()).decode("ascii")
        return data, f"sha256-{digest}"

    def render(
        self, page: Page, kept: Sequence[tuple[str, str]] = (), data: Markup | None = None
    ) -> bytes:
        """Return the page as the bytes that are published.

        Shape: ``kept`` are anchors that have moved from it, ``data`` is its data block. A
        link is written ``root:ADDRESS`` until here, in prose as in templates, since the same
        words stand on pages at different depths; what is no link is led by ``to(ADDRESS)``.
        """
        to_root = None if page.anywhere else "../" * page.path.count("/")
        style, digest = self._inlined(_SHEETS.get(page.kind, "style.css"), to_root)

        def to(address: str) -> str:
            return self._base + address if page.anywhere else relative(page.path, address)

        text = self._environment.get_template(f"{page.kind}.html").render(
            page=page,
            view=page.body,
            style=_STYLE,
            style_digest=digest,
            masthead=partial(
                self._masthead, page.path[: page.path.rfind("/") + 1] or page.path, page.anywhere
            ),
            to=to,
            kept=kept,
            data=data,
        )
        text = self._linked(text, page.path, page.anywhere)
        text = text.replace(_TIES, self._told_ties(page, text), 1)
        written = (_BLANK_LINES.sub("\n", text).strip() + "\n").encode("utf-8")
        return written.replace(_STYLE.encode("utf-8"), style)

    @cache  # noqa: B019 - one set of templates lives as long as a build
    def _masthead(self, path: str, anywhere: bool) -> Markup:
        """Return what stands above every page, its links led.

        Shape: ``path`` is that of a page at the root, else of a folder: no way in is in one.
        """
        text = self._environment.get_template("masthead.html").render(path=path)
        return Markup(self._linked(text, path, anywhere))

    def _linked(self, text: str, path: str, anywhere: bool) -> str:
        """Return a text with its links as seen from a page, whole where that is shown anywhere."""
        if anywhere:
            return text.replace(_ROOT, f'href="{self._base}')
        folder = path.rpartition("/")[0]
        text = text.replace(f"{_ROOT}{path}#", 'href="#')
        return _ROOTED.sub(lambda found: f'href="{_from_folder(folder, found[1])}', text)

    def _told_ties(self, page: Page, text: str) -> str:
        """Return how the parts were come by that a page leads to and that were not bought.

        Shape: it stands before the first such link, on every kind of page that has one.
        Source: 16 CFR 255.5.
        """
        if not self._ties:
            return ""
        ties = self._ties_from(page.path.rpartition("/")[0])
        own = self._ties.get(page.path)
        told: dict[str, list[str]] = {}
        for href in dict.fromkeys(_HREF.findall(text)):
            if href in ties and ties[href] != own:
                how, name = ties[href]
                told.setdefault(how, []).append(name)
        if not told:
            return ""
        lines = " ".join(f"{how}: {', '.join(names)}." for how, names in sorted(told.items()))
        return f'<p class="ties"><strong>Not bought by us.</strong> {escape(lines)}</p>'

    @cache  # noqa: B019 - one set of templates lives as long as a build
    def _ties_from(self, folder: str) -> dict[str, tuple[str, str]]:
        start = f"{folder}/_" if folder else "_"
        return {relative(start, address): told for address, told in self._ties.items()}
