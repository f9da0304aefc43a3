"""A tree of any size that looks like a life's work: python tests/benchmarks/trees.py DIR NOTES.

Families with registers, parts, recordings, questions and notes that link to each other;
lengths are those of the demonstration's notes, words those of the open data with rarer
ones coming along. The same size gives the same bytes, and nothing in it is an error.
"""

from __future__ import annotations

import random
import re
import sys
from datetime import date, timedelta
from pathlib import Path

from invented import Text

__all__ = ["write_tree"]

THREADS = (
    "SM1/8-44", "SM9/64-40", "SM11/64-40", "SM1/4-40", "SM3/16-28", "3/8-24 UNF", "10-32 UNF",
    "1/4-20 UNC", "M4x0.7", "M5x0.8", "M6x1", "1/4-20 BSW", "2 BA", "4 BA", "5/16-18 UNC",
)  # fmt: skip
PLACES = (
    "needle clamp screw", "presser bar screw", "face plate screw", "winder bracket screw",
    "bed guide screw", "motor bracket bolt", "belt guard stud", "tension stud", "crank pin nut",
    "shuttle race screw", "feed dog screw", "hinge pin screw", "lamp bracket screw",
)  # fmt: skip
ROWS = 12
HEADINGS = 45
WORDS = {0.02: 60, 0.1: 178, 0.25: 195, 0.5: 211, 0.75: 225, 0.9: 239, 0.98: 280, 1.0: 309}
"""Words of a note's body: up to which share of all notes, so many (the demonstration's)."""
FIRST_DAY = date(2016, 1, 5)
# Words that call for a caution, or stand beside a figure as its unit would.
SHUNNED = re.compile(
    r"\b(?:at|dot|mains|wir\w*|"
    r"rewir\w*|electric\w*|volt\w*|capacitor\w*|plug\w*|flex|lamp\w*|asbestos|"
    r"lead|lb\w*|pounds?|inch\w*|turns?|degrees?|quarters?|half|eighths?|sixteenths?|snug|tight\w*|"
    r"pitch|thread\w*|socket\w*|earth\w*|switch\w*|fuse\w*|cable\w*|cord\w*|shock\w*|"
    r"insulat\w*|coils?|winding\w*|suppress\w*|core|terminal\w*|ground\w*|live|neutral|pins?)\b"
)


def write_tree(root: Path, notes: int) -> None:
    """Write a tree of so many notes below ``root``, which is made."""
    _Writer(root, notes).write()


class _Writer:
    def __init__(self, root: Path, notes: int) -> None:
        self._root = root / "content"
        self._notes = notes
        self._chance = random.Random(20260401 + notes)
        self._text = Text(notes, self._chance)
        self._families = [f"family-{one:03}" for one in range(max(6, round(notes**0.5 * 1.2)))]
        self._parts = [f"part-{one:04}" for one in range(max(8, notes // 10))]
        self._recordings = [f"evening-{one:04}" for one in range(max(2, notes // 25))]
        self._registers: dict[str, list[tuple[str, str]]] = {}

    def write(self) -> None:
        for folder in ("notes", "families", "parts", "recordings", "questions"):
            (self._root / folder).mkdir(parents=True)
        self._lists()
        for family in self._families:
            self._family(family)
        for part in self._parts:
            self._part(part)
        for recording in self._recordings:
            self._recording(recording)
        for number in range(1, self._notes + 1):
            self._note(number)
        for number in range(1, self._notes // 10 + 1):
            self._question(number)

    def _put(self, path: str, text: str) -> None:
        (self._root / path).write_text(text, encoding="utf-8")

    def _say(self, count: int) -> str:
        plain = re.sub(r"[^a-z ]", "", self._text.words(count).lower())
        said = " ".join(SHUNNED.sub("it", plain).split()) or "it works"
        return said[0].upper() + said[1:]

    def _day(self, number: int, later: int = 0) -> str:
        return str(FIRST_DAY + timedelta(days=number % 3600 + later))

    def _lists(self) -> None:
        self._put(
            "workshop.yaml",
            "name: Long Shelf Bench\nlanguage: en-GB\nbase_address: https://shelf.example.org/\n"
            "contact: bench@example.org\ndisclosure: We bought everything ourselves.\n"
            'defaults: {strength: "4.6", nut_factor: "0.20"}\n',
        )
        self._put(
            "threads.yaml",
            "- {thread: 13/64-32 house, where: Tension stud, basis: measured, source: eleven}\n",
        )
        self._put(
            "hazards.yaml",
            "".join(
                f"- {{id: hazard-{one}, signal: {('caution', 'warning', 'danger')[one % 3]}, "
                f"hazard: {self._say(8)}, consequence: {self._say(6)}, avoid: {self._say(12)}}}\n"
                for one in range(12)
            ),
        )
        self._put(
            "symptoms.yaml",
            "".join(
                f"- {{id: heading-{one:02}, heading: {self._say(5)} {one}, also: "
                f"[{self._say(3)}, {self._say(3)}]}}\n"
                for one in range(HEADINGS)
            ),
        )
        self._put(
            "vocabulary.yaml",
            "".join(
                f"- {{lay: [wheely thing {'abcdefghij'[one % 10]}{'klmnopqrst'[one // 10]}], "
                f"trade: [{self._say(2)}]}}\n"
                for one in range(100)
            ),
        )

    def _family(self, family: str) -> None:
        rows = []
        lines = [
            f"name: Model {family[-3:]}\nsummary: {self._say(20)}.\nrecognise: [{self._say(8)}]"
        ]
        lines.append("fasteners:")
        for place in self._chance.sample(PLACES, ROWS):
            thread = self._chance.choice(THREADS)
            row = place.replace(" ", "-")
            rows.append((row, thread))
            lines.append(
                f"  - id: {row}\n    where: {place.capitalize()}\n    thread: {thread}\n"
                f"    length: {self._chance.randint(4, 30)} mm\n    head: slotted cheese\n"
                "    tightness: snug, then an eighth of a turn\n    basis: measured\n"
                f"    source: pitch leaf, {self._chance.choice(['two', 'three', 'nine'])} machines"
            )
        self._registers[family] = rows
        self._put(f"families/{family}.yaml", "\n".join(lines) + "\n")

    def _part(self, part: str) -> None:
        fits = "".join(
            f"  - {{family: {family}, verdict: fits, why: {self._say(6)}, source: caliper}}\n"
            for family in self._chance.sample(self._families, 3)
        )
        self._put(
            f"parts/{part}.yaml",
            f"name: {self._say(2)} {part[-4:]}\nsummary: {self._say(9)}.\nfits:\n{fits}"
            f"obtained: bought\n",
        )

    def _recording(self, recording: str) -> None:
        notes = sorted(self._chance.sample(range(1, self._notes + 1), min(10, self._notes)))
        chapters = "".join(
            f'  - {{at: "{3 * place:02}:00", title: {self._say(4)}, note: {note}}}\n'
            for place, note in enumerate(notes)
        )
        self._put(
            f"recordings/{recording}.yaml",
            f"title: {self._say(4)}\ndate: {self._day(int(recording[-4:]) * 7)}\n"
            f'address: https://video.example.org/{recording}\nlength: "45:00"\n'
            f"chapters:\n{chapters}",
        )

    def _length(self) -> int:
        """A number of words, as often as notes of the demonstration have it."""
        share, before, low = self._chance.random(), 0.0, 43
        for upto, words in WORDS.items():
            if share <= upto:
                return round(low + (words - low) * (share - before) / (upto - before))
            before, low = upto, words
        return low

    def _note(self, number: int) -> None:
        chance = self._chance
        families = sorted(chance.sample(self._families, 1 + (chance.random() < 0.3)))
        rows = [
            f"{family}/{row}"
            for family in families
            for row, _ in chance.sample(self._registers[family], 2)
        ]
        part = chance.choice(self._parts)
        causes = "".join(
            f"  - {{cause: {self._say(5)}, tell: {self._say(9)}, fix: {self._say(7)}}}\n"
            for _ in range(3)
        )
        symptoms = "".join(f"  - {self._say(11)}\n" for _ in range(3))
        title = self._say(7)
        self._put(
            f"notes/{number:04}-{'-'.join(title.lower().split()[:5])[:50].rstrip('-')}.md",
            f"---\ntitle: {title}\nstanding: published\nauthors: [workshop]\nsymptom:\n{symptoms}"
            f"headings: [{', '.join(sorted(self._headings()))}]\n"
            f"families: [{', '.join(families)}]\n"
            f"causes:\n{causes}fix: {self._say(13)}.\n"
            "before: {people: one, tools: [5 mm driver, loupe], supplies: none, spares: none}\n"
            f"parts:\n  - {{part: {part}, quantity: 1}}\n"
            f"fasteners: [{', '.join(rows)}]\nhazards: [hazard-{number % 12}]\n"
            + (
                f'recordings:\n  - {{recording: {chance.choice(self._recordings)}, at: "06:10"}}\n'
                if chance.random() < 0.3
                else ""
            )
            + f"works_when: {self._say(14)}.\nfirst_published: {self._day(number)}\n"
            f"revised: {self._day(number)}\n---\n{self._body(number, rows, part)}",
        )

    def _headings(self) -> list[str]:
        return [f"heading-{one:02}" for one in self._chance.sample(range(HEADINGS), 2)]

    def _body(self, number: int, rows: list[str], part: str) -> str:
        """Sections, a list of steps, links to other things, and now and then a table."""
        chance, left = self._chance, self._length()
        links = [f"[{self._say(2).lower()}](fastener:{row})" for row in rows]
        links += [f"[{self._say(2).lower()}](part:{part})"]
        links += [
            f"[{self._say(3).lower()}](note:{1 + (number + step) % self._notes})"
            for step in (1, 1 + int(chance.expovariate(1 / 40)))
            if self._notes > 1
        ]
        out = [f"{self._sentence(left // 5)}\n"]
        for heading in range(3):
            out.append(f"\n## {self._say(3)}\n\n")
            if heading == 0:
                out += [f"{step}. {self._sentence(max(5, left // 30))}\n" for step in range(1, 7)]
            else:
                link = " ".join(f"See {link}." for link in links[heading - 1 :: 2])
                out.append(f"{self._sentence(max(8, left // 4 - 12))} {link}\n")
        if number % 12 == 0:
            family, _, row = rows[0].partition("/")
            thread = dict(self._registers[family])[row]
            out.append(
                f"\n| Place | Thread |\n|---|---|\n| [place](fastener:{rows[0]}) | {thread} |\n"
            )
        elif number % 5 == 0:
            out.append(f"\nThe gap is {chance.randint(2, 30)} mm, and the lever moves 3 mm.\n")
        return "".join(out)

    def _sentence(self, words: int) -> str:
        said: list[str] = []
        while words > 0:
            count = min(words, self._chance.randint(6, 16))
            said.append(self._say(count) + ".")
            words -= count
        return " ".join(said)

    def _question(self, number: int) -> None:
        note = 1 + number * 7 % self._notes
        self._put(
            f"questions/Q{number:04}-{'-'.join(self._say(3).lower().split())}.md",
            f"---\ndate: {self._day(number)}\nalias: A. B.\ncame_by: letter\nstanding: answered\n"
            f"answered_by: {note}\nanswered: {self._day(number, 9)}\n---\n{self._sentence(45)}\n",
        )


if __name__ == "__main__":
    write_tree(Path(sys.argv[1]), int(sys.argv[2]))
