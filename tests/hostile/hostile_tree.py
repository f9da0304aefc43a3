"""A content tree with a hostile string in every field that takes words.

Every string is the whole of one note, one part and one question, each in all its fields;
all of them together stand in the lists of one family, one recording with its captions,
and the files of words.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import yaml

DATA = Path(__file__).with_name("data")

OURS = (
    "<script>window.ran=1</script>",
    '"><script>window.ran=1</script>',
    "'><img src=x onerror=window.ran=1>",
    "</title><script>window.ran=1</script>",
    "</style><script>window.ran=1</script>",
    "</script><script>window.ran=1</script>",
    '"}</script><script>window.ran=1</script>',
    "<!--<script>",
    "<![CDATA[<script>window.ran=1</script>]]>",
    "<svg onload=window.ran=1>",
    "<svg><style><img src=x onerror=window.ran=1></style></svg>",
    "<math><mtext><table><mglyph><style><img src=x onerror=window.ran=1>",
    "<iframe srcdoc='<script>parent.ran=1</script>'></iframe>",
    "<object data=javascript:window.ran=1>",
    "<base href=https://evil.example.org/>",
    "<meta http-equiv=refresh content='0;url=https://evil.example.org/'>",
    "<link rel=stylesheet href=https://evil.example.org/a.css>",
    "<form action=https://evil.example.org/><button>a</button></form>",
    '" onmouseover="window.ran=1" autofocus onfocus="window.ran=1" x="',
    "' onmouseover='window.ran=1' autofocus onfocus='window.ran=1' x='",
    "` onmouseover=window.ran=1 x=`",
    "{{ 7*7 }}{% for a in ().__class__.__base__.__subclasses__() %}{{ a }}{% endfor %}",
    "${7*7} #{7*7} <%= 7*7 %>",
    "&lt;script&gt;window.ran=1&lt;/script&gt;",
    "&#60;script&#62;window.ran=1&#60;/script&#62;",
    "javascript:window.ran=1",
    "<a href='javascript:window.ran=1'>a</a>",
    "<details open ontoggle=window.ran=1>",
    "<template><script>window.ran=1</script></template>",
    "<noscript><p title='</noscript><img src=x onerror=window.ran=1>'>",
    "\\u003cscript\\u003ewindow.ran=1\\u003c/script\\u003e",
    "%3Cscript%3Ewindow.ran=1%3C/script%3E",
    "+ADw-script+AD4-window.ran=1+ADw-/script+AD4-",
    "<ScRiPt/x>window.ran=1</sCrIpT>",
    "<p style=background:url(javascript:window.ran=1)>",
    "*/</style><style>*{display:none}",
    "expression(window.ran=1)",
    'http://"onmouseover=window.ran=1 x=',
    "constructor __proto__ toString hasOwnProperty",
)


def published_list() -> tuple[str, ...]:
    """Return the strings of the published list that are not empty, each once."""
    strings = json.loads(DATA.joinpath("naughty-strings.json").read_text("utf-8"))
    return tuple(dict.fromkeys(text for text in strings if text.strip()))


def scripts_of_the_list() -> tuple[str, ...]:
    """Return the strings of the published list that try to run something."""
    return tuple(
        text for text in published_list() if "<" in text or "script" in text or "alert" in text
    )


def front(number: int, text: str) -> dict[str, Any]:
    """Return the front matter of a note whose every word is ``text``."""
    return {
        "title": text,
        "standing": "published",
        "authors": [text],
        "symptom": [text],
        "headings": ["winder"],
        "families": ["all"],
        "causes": [{"cause": text, "tell": text, "fix": text}],
        "fix": text,
        "before": {"people": text, "tools": [text], "supplies": [text], "spares": "none"},
        "parts": [{"part": f"part-{number}"}],
        "hazards": ["all"],
        "recordings": [{"recording": "all", "at": "0:10"}],
        "works_when": text,
        "first_published": "2026-01-01",
        "revised": "2026-01-02",
        "corrections": [
            {"date": "2026-01-02", "what": text, "was": text, "now": text, "told_by": text}
        ],
    }


def part(text: str) -> dict[str, Any]:
    """Return a part whose every word is ``text``."""
    return {
        "name": text,
        "also_called": [text],
        "summary": text,
        "fits": [{"family": "all", "verdict": "fits", "why": text, "source": text}],
        "offers": [
            {
                "address": "https://shop.example.org/a",
                "seen": "2026-01-01",
                "price": text,
                "shop": text,
            }
        ],
        "obtained": "gift",
        "remarks": text,
    }


def question(number: int, text: str) -> dict[str, Any]:
    """Return the front matter of an answered question whose every word is ``text``."""
    return {
        "date": "2026-01-01",
        "alias": text,
        "came_by": "letter",
        "subject": text,
        "in_short": text,
        "families": ["all"],
        "standing": "answered",
        "answered_by": number,
        "answered": "2026-01-02",
        "answer": text,
    }


def family(texts: Sequence[str]) -> dict[str, Any]:
    """Return a family with every text in each of its lists."""
    whole = " ".join(texts)
    rows = [
        {
            "id": f"row-{number}",
            "where": f"Screw {text}",
            "thread": "M6x1",
            "head": text,
            "basis": "measured",
            "source": text,
            "remark": text,
            "disputed": [{"says": text, "source": text}],
            "corrections": [{"date": "2026-01-02", "was": text, "told_by": text}],
        }
        for number, text in enumerate(texts, 1)
    ]
    return {
        "name": whole,
        "summary": whole,
        "also_called": [*texts],
        "recognise": [*texts],
        "variants": [
            {"id": f"variant-{number}", "name": text, "differs": text}
            for number, text in enumerate(texts, 1)
        ],
        "fasteners": rows,
        "settings": [
            {"id": f"set-{n}", "what": t, "value": t, "basis": "measured", "source": t, "remark": t}
            for n, t in enumerate(texts, 1)
        ],
        "lots": [
            {
                "first": f"A {number * 10}",
                "last": f"A {number * 10 + 9}",
                "allotted": f"{1900 + number}",
                "works": text,
                "basis": "quoted",
                "source": text,
            }
            for number, text in enumerate(texts, 1)
        ],
        "remarks": "\n\n".join(texts),
    }


def recording(texts: Sequence[str]) -> dict[str, Any]:
    """Return a recording with every text as a chapter and as a correction."""
    return {
        "title": " ".join(texts),
        "date": "2026-01-01",
        "address": "https://films.example.org/all",
        "length": "99:59",
        "summary": " ".join(texts),
        "chapters": [
            {"at": f"{number // 60}:{number % 60:02}", "title": text}
            for number, text in enumerate(texts)
        ],
        "corrections": [
            {"date": "2026-01-02", "what": text, "was": text, "now": text, "at": "0:10"}
            for text in texts
        ],
    }


def write(root: Path, texts: Iterable[str], every: Sequence[str]) -> None:
    """Write the tree: ``texts`` one by one, ``every`` together in the lists."""
    content = root / "content"
    whole = " ".join(every)
    _yaml(
        content / "workshop.yaml",
        {
            "name": "Bench",
            "language": "en",
            "base_address": "https://bench.example.org/",
            "contact": whole,
            "disclosure": whole,
            "motto": whole,
            "about": whole,
            "licence": whole,
        },
    )
    _yaml(content / "families" / "all.yaml", family(every))
    _yaml(content / "recordings" / "all.yaml", recording(every))
    captions = "\n\n".join(
        f"00:{number // 60:02}:{number % 60:02}.000 --> 00:{number // 60:02}:{number % 60:02}.900\n"
        f"{text}"
        for number, text in enumerate(every)
        if "-->" not in text and "\n" not in text
    )
    _write(content / "recordings" / "all.vtt", f"WEBVTT\n\n{captions}\n")
    hazard = {"id": "all", "signal": "danger", "hazard": whole, "consequence": whole}
    _yaml(content / "hazards.yaml", [{**hazard, "avoid": whole, "defer_to": whole}])
    _yaml(
        content / "symptoms.yaml",
        [{"id": "winder", "heading": whole, "also": [*every]}],
    )
    _yaml(content / "vocabulary.yaml", [{"lay": [text], "trade": [text]} for text in every])
    for number, text in enumerate(texts, 1):
        _yaml(content / "parts" / f"part-{number}.yaml", part(text))
        head = yaml.safe_dump(front(number, text), allow_unicode=True, width=10_000)
        _write(content / "notes" / f"{number:04}-a.md", f"---\n{head}---\n{text}\n")
        head = yaml.safe_dump(question(number, text), allow_unicode=True, width=10_000)
        _write(content / "questions" / f"Q{number:04}-a.md", f"---\n{head}---\n{text}\n")


def _yaml(path: Path, data: Any) -> None:
    _write(path, yaml.safe_dump(data, allow_unicode=True, width=10_000))


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")
