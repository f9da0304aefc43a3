"""Questions asked one at a time, each answer held to the checks as it is given."""

from __future__ import annotations

import copy
import datetime
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from kbgen.build import checked_tree
from kbgen.content import load_note
from kbgen.jot import Session, Trial, note_of
from kbgen.jot.choices import Choices, Refused

DAY = datetime.date(2026, 3, 4)


KEYS = (
    "headings", "causes", "fix", "people", "tools", "supplies", "parts", "spares", "fasteners",
    "works_when", "recordings", "steps", "hazards",
)  # fmt: skip


class Script:
    """A console whose typist follows a script, by words of the question or prompt."""

    def __init__(self, lines: Iterable[str]) -> None:
        self.lines = list(lines)
        self.shown: list[str] = []

    def ask(self, prompt: str) -> str:
        self.shown.append(prompt)
        if not self.lines:
            raise EOFError
        return self.lines.pop(0)

    def say(self, text: str, style: str = "") -> None:
        self.shown.append(f"{style}: {text}" if style else text)


def session(
    root: Path, lines: Iterable[str], answers: dict[str, Any] | None = None
) -> tuple[Session, Script, list[dict[str, Any]]]:
    script, kept = Script(lines), []
    trial = Trial(checked_tree(root), DAY)
    asked = Session(trial, script, answers or {}, lambda now: kept.append(copy.deepcopy(now)))
    return asked, script, kept


WHOLE = """\
Needle clamp works loose
The needle drops out
It falls in the middle of a seam

1
winder
Screw worn
It shakes in its hole
A new screw

Tighten the clamp with a driver.
one
small driver

none
2 x winder-tyre
tyre
needle
The needle has not moved after ten minutes.
winder-evening@12:40
1. Loosen the screw.

2. Clean it with white spirit.
.
yes

""".splitlines()


def test_a_note_from_its_first_question_to_its_last(root: Path) -> None:
    asked, script, kept = session(root, WHOLE)
    asked.ask_all()
    assert script.lines == []
    text = note_of(asked.said(), DAY)
    note, findings = load_note("content/notes/0002-x.md", text.encode())
    assert findings == []
    assert note is not None
    front = note.front
    assert (front.title, front.standing) == ("Needle clamp works loose", "draft")
    assert front.symptom == ("The needle drops out", "It falls in the middle of a seam")
    assert (front.families, front.headings) == (("halverin-h",), ("winder",))
    assert [(one.cause, one.tell, one.fix) for one in front.causes] == [
        ("Screw worn", "It shakes in its hole", "A new screw")
    ]
    assert (front.before.people, front.before.tools, front.before.supplies) == (
        "one", ("small driver",), "none",
    )  # fmt: skip
    assert front.before.spares == ("winder-tyre",)
    assert [(use.part, use.quantity) for use in front.parts] == [("winder-tyre", 2)]
    assert front.fasteners == ("halverin-h/needle-clamp",)
    assert front.hazards == ("solvent-fumes",)
    assert [(one.recording, one.at) for one in front.recordings] == [("winder-evening", "12:40")]
    assert note.body == "1. Loosen the screw.\n\n2. Clean it with white spirit.\n"
    assert "not written yet" not in text
    answered = [sum(key != "begun" for key in one) for one in kept]
    assert answered == sorted(answered)
    assert answered[-1] == 16
    assert any("`white spirit` calls for solvent-fumes (warning)" in one for one in script.shown)


def test_what_is_left_open_says_so(root: Path) -> None:
    asked, script, _ = session(root, ["Winder", "It slips", *[""] * 15])
    asked.ask_all()
    assert script.lines == []
    text = note_of(asked.said(), DAY)
    assert text.count("ot written yet") == 6
    assert load_note("content/notes/0002-x.md", text.encode())[1] == []


def test_a_thread_is_judged_when_it_is_typed(root: Path) -> None:
    asked, script, _ = session(
        root, ["Winder", "It slips", "", "none", "", "", "Use M4x0.8.", "Use M4x0.7 then."]
    )
    with pytest.raises(EOFError):
        asked.ask_all()
    assert asked.answers["fix"] == "Use M4x0.7 then."
    shown = "\n".join(script.shown)
    assert "error:   error: M4x0.8 is not in ISO 261" in shown
    assert "quiet:   M4x0.7: standard" in shown


@pytest.mark.parametrize(
    ("key", "lines", "whole"),
    [
        pytest.param(
            "steps", ["Lift it.", "", "Use M4x0.8.", ".", "9: x", "3: Use M4x0.7."],
            "Lift it.\n\nUse M4x0.7.", id="steps",
        ),
        pytest.param(
            "symptom", ["It slips", "The M4x0.8 screw is loose", "", "2: The screw is loose"],
            ["It slips", "The screw is loose"], id="lines",
        ),
        pytest.param(
            "symptom", ["It slips", "The M4x0.8 screw is loose", "", "2:"],
            ["It slips"], id="a line taken out",
        ),
        pytest.param(
            "causes", ["Worn", "", "Fit M4x0.8", "", "3: Fit M4x0.7"],
            [{"cause": "Worn", "tell": "not written yet", "fix": "Fit M4x0.7"}], id="causes",
        ),
        pytest.param(
            "steps", ["Use M4x0.8.", ".", "", "Use none.", "."], "Use none.", id="anew",
        ),
    ],
)  # fmt: skip
def test_of_several_lines_only_the_wrong_one_is_said_again(
    root: Path, key: str, lines: list[str], whole: object
) -> None:
    others = {"title": "W", "symptom": ["S"], "families": []} | dict.fromkeys(KEYS)
    others.pop(key)
    asked, script, _ = session(root, lines, others)
    asked.ask_all()
    assert script.lines == []
    assert asked.said()[key] == whole


def test_a_wrong_line_is_kept_when_it_is_interrupted(root: Path) -> None:
    others = {"title": "W", "symptom": ["S"], "families": []} | dict.fromkeys(KEYS)
    others.pop("steps")
    asked, _, kept = session(root, ["Lift it.", "Use M4x0.8.", "."], others)
    with pytest.raises(EOFError):
        asked.ask_all()
    again, script, _ = session(root, [".", "2: Use M4x0.7."], copy.deepcopy(kept[-1]))
    again.ask_all()
    assert script.lines == []
    assert again.said()["steps"] == "Lift it.\nUse M4x0.7."


def test_prose_is_held_to_the_register_when_it_is_typed(root: Path) -> None:
    lines = ["Winder", "It slips", "", "halverin-h", "", ""]
    wrong = "Tighten the needle clamp screw, M4x0.7."
    asked, script, _ = session(root, [*lines, wrong, "Tighten it."])
    with pytest.raises(EOFError):
        asked.ask_all()
    assert asked.answers["fix"] == "Tighten it."
    assert any("halverin-h/needle-clamp" in one for one in script.shown)


@pytest.mark.parametrize(
    ("lines", "key", "said"),
    [
        pytest.param(["", "Winder"], "title", "A note needs this one.", id="nothing"),
        pytest.param(["?", "Winder"], "title", "The title names the thing", id="explained"),
        pytest.param(["<", "Winder"], "title", "This is the first question.", id="first"),
        pytest.param(
            ["Winder", "It slips", "", "abc", "quill"], "families", "nothing here is called abc",
            id="no such family",
        ),
        pytest.param(
            ["Winder", "It slips", "", "9", "2"], "families", "no number 9", id="no such number"
        ),
        pytest.param(
            ["Winder", "It slips", "", "l", "1"], "families", "may be 2 of them", id="several"
        ),
    ],
)  # fmt: skip
def test_a_question_is_asked_until_its_answer_stands(
    root: Path, lines: list[str], key: str, said: str
) -> None:
    asked, script, _ = session(root, lines)
    with pytest.raises(EOFError):
        asked.ask_all()
    assert key in asked.answers
    assert any(said in one for one in script.shown), script.shown


def test_back_takes_an_answer_back(root: Path) -> None:
    asked, _, _ = session(
        root, ["Winder", "It slips", "", "<", "It stalls", "", "<", "<", "Bobbin"]
    )
    with pytest.raises(EOFError):
        asked.ask_all()
    assert asked.answers == {"title": "Bobbin"}


def test_only_what_is_open_is_asked_when_it_is_carried_on(root: Path) -> None:
    said = {"title": "Winder", "symptom": ["It slips"], "families": [], "fix": "Mend it."}
    asked, script, _ = session(root, [*[""] * 12], said)
    asked.ask_all()
    assert script.lines == []
    assert not any("few words" in one for one in script.shown)
    assert asked.said() == {
        "title": "Winder", "symptom": ["It slips"], "families": [], "fix": "Mend it.",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("key", "lines", "more", "whole"),
    [
        pytest.param(
            "symptom", ["It slips", "It stalls"], ["It squeals", ""],
            ["It slips", "It stalls", "It squeals"], id="lines",
        ),
        pytest.param(
            "steps", ["Lift it.", "", "Look."], ["Close it.", "."],
            "Lift it.\n\nLook.\nClose it.", id="steps",
        ),
        pytest.param(
            "causes", ["Worn", "It rocks", "", "Bent"], ["Bent", "", "Straighten it", ""],
            [
                {"cause": "Worn", "tell": "It rocks"},
                {"cause": "Bent", "tell": "not written yet", "fix": "Straighten it"},
            ],
            id="causes",
        ),
    ],
)  # fmt: skip
def test_an_answer_that_was_interrupted_is_gone_on_with(
    root: Path, key: str, lines: list[str], more: list[str], whole: object
) -> None:
    others = {"title": "W", "symptom": ["S"], "families": []} | dict.fromkeys(KEYS)
    others.pop(key)
    asked, _, kept = session(root, lines, others)
    with pytest.raises(EOFError):
        asked.ask_all()
    again, script, _ = session(root, more, copy.deepcopy(kept[-1]))
    again.ask_all()
    assert script.lines == []
    assert again.said()[key] == whole


def test_a_screw_that_no_register_has(root: Path) -> None:
    said = dict.fromkeys(("headings", "causes", "fix", "people", "tools", "supplies"))
    said |= {"title": "W", "symptom": ["S"], "families": [], "parts": None, "spares": None}
    own = ["M4x0.7, bed-bolt", "lid of the box", "guessed", "measured", "micrometer, one machine"]
    asked, script, _ = session(root, [*own, "", "", "", ""], said)
    asked.ask_all()
    assert script.lines == []
    assert asked.answers["fasteners"] == [
        {
            "where": "lid of the box",
            "thread": "M4x0.7",
            "basis": "measured",
            "source": "micrometer, one machine",
        },
        "quillant-freearm/bed-bolt",
    ]
    assert load_note("content/notes/0002-x.md", note_of(asked.said(), DAY).encode())[1] == []


def test_the_caution_about_the_mains_is_offered_and_may_not_be_declined(root: Path) -> None:
    said = dict.fromkeys(("headings", "causes", "people", "tools", "supplies", "parts"))
    said |= {"title": "W", "symptom": ["S"], "families": [], "fix": "Rewire the motor lead."}
    said |= {"spares": None, "fasteners": None, "works_when": None, "recordings": None}
    asked, script, _ = session(root, ["", "no", "", "what", "yes", ""], said)
    asked.ask_all()
    assert script.lines == []
    assert asked.answers["hazards"] == ["mains-shock"]
    assert any("So the note would not stand" in one for one in script.shown)


def test_a_note_that_disagrees_with_another_is_asked_for_again(root: Path) -> None:
    """Only the whole tree shows it: two notes give one place two threads."""
    other = root / "content" / "notes" / "0001-winder-tyre-slips.md"
    row = "{where: Lamp screw, thread: M4x0.7, basis: measured, source: one machine}"
    text = other.read_text(encoding="utf-8")
    other.write_text(
        text.replace("works_when:", f"fasteners:\n  - {row}\nworks_when:"), encoding="utf-8"
    )
    said: dict[str, Any] = dict.fromkeys(
        ("headings", "causes", "fix", "people", "tools", "supplies", "parts")
    )
    said |= {"title": "W", "symptom": ["S"], "families": ["halverin-h"], "spares": None}
    said |= {"works_when": None, "recordings": None, "steps": None, "hazards": None}
    said["fasteners"] = [
        {"where": "Lamp screw", "thread": "M5x0.8", "basis": "measured", "source": "one machine"}
    ]
    asked, script, _ = session(root, [""], said)
    asked.ask_all()
    assert any("So the note would not stand" in one for one in script.shown), script.shown
    assert asked.answers["fasteners"] is None


def test_long_lists_are_chosen_from_by_words() -> None:
    many = Choices(tuple((f"part-{number}", f"Thing {number}") for number in range(40)))
    assert list(many.shown()) == [
        "There are 40: say ids or words of a name; a word shows what holds it."
    ]
    assert many.read("part-7, thing 39") == ["part-7", "part-39"]
    with pytest.raises(Refused, match="no number 3"):
        many.read("3")
    with pytest.raises(Refused, match=r"called part-99; near it: part-0 \(Thing 0\)"):
        many.read("part-99")
    with pytest.raises(Refused, match=r"nothing here is called felt$"):
        many.read("felt")
    counted = Choices((("felt", "Felt"),), counted=True)
    assert counted.read("2 x felt") == [{"part": "felt", "quantity": "2"}]
