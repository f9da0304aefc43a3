"""Writes the JSON Schemas of what the commands of the desk print.

Run from the top folder: python tests/unit/desk/shapes/write.py
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent

TEXT = {"type": "string", "minLength": 1}
OR_NULL = {"type": ["string", "null"], "minLength": 1}
DAY = {"type": "string", "pattern": r"^\d{4}-\d\d-\d\d$"}
NUMBER = {"type": "integer", "minimum": 1}
COUNT = {"type": "integer", "minimum": 0}
NOTE_OR_NULL = {"type": ["integer", "null"], "minimum": 1}
TEXTS = {"type": "array", "items": TEXT}
CONFIDENCE = {"enum": ["sure", "likely", "possible", None]}


def shape(**properties: Any) -> dict[str, Any]:
    """Return the schema of an object that has just these keys."""
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def listed(item: dict[str, Any]) -> dict[str, Any]:
    """Return the schema of a list."""
    return {"type": "array", "items": item}


CANDIDATE = shape(
    note=NUMBER,
    title=TEXT,
    address={"type": "string", "pattern": r"^n/\d{4,6}\.html$"},
    confidence=CONFIDENCE,
    evidence=COUNT,
    reasons=listed(
        shape(
            kind={"enum": ["words", "widened", "thread", "place", "family", "moment", "note"]},
            text=TEXT,
        )
    ),
)
FOUND = {
    "nothing_fits": {"type": "boolean"},
    "candidates": listed(CANDIDATE),
    "nearest": listed(CANDIDATE),
}
SCREW = shape(
    row=OR_NULL,
    family=OR_NULL,
    where=TEXT,
    thread=TEXT,
    hand={"enum": ["right", "left", None]},
    verdict=OR_NULL,
    tightness=OR_NULL,
    length=OR_NULL,
    head=OR_NULL,
    basis={"enum": ["measured", "quoted", "estimated"]},
    source=TEXT,
    disputed=listed(shape(says=TEXT, source=TEXT)),
    not_that=listed(shape(where=TEXT, others=COUNT, thread=TEXT, outcome=TEXT)),
)
REPLY = shape(
    question=NOTE_OR_NULL,
    note=NUMBER,
    title=TEXT,
    address={"type": "string", "pattern": r"^https?://\S+/n/\d{4,6}\.html$"},
    holds_for=TEXTS,
    fitting={"type": "boolean"},
    cautions=listed(
        shape(
            signal={"enum": ["danger", "warning", "caution", "notice"]},
            hazard=TEXT,
            consequence=OR_NULL,
            avoid=TEXT,
            defer_to=OR_NULL,
        )
    ),
    fix=TEXT,
    own_answer={"type": "boolean"},
    stated=listed(
        shape(as_written=OR_NULL, places=TEXTS, agrees={"type": ["boolean", "null"]}, says=TEXT)
    ),
    screws=listed(SCREW),
    parts=listed(
        shape(name=TEXT, quantity=NUMBER, address=TEXT, fits=TEXTS, tie=OR_NULL, warning=OR_NULL)
    ),
    corrections=listed(shape(date=DAY, what=TEXT, now=OR_NULL)),
    disclosure=OR_NULL,
    text=TEXT,
    answered={"anyOf": [DAY, {"type": "null"}]},
    **FOUND,
)
NONE = {"type": "null"}
UNSURE = shape(question=NOTE_OR_NULL, note=NONE, text=NONE, answered=NONE, **FOUND)
ITEM = shape(
    short=TEXT,
    times=NUMBER,
    seconds=COUNT,
    questions=listed(shape(number=NUMBER, alias=OR_NULL, date=DAY, sure={"type": "boolean"})),
    families=TEXTS,
    note=NOTE_OR_NULL,
    confidence=CONFIDENCE,
    answer=OR_NULL,
    refused=OR_NULL,
    cautions=TEXTS,
    say=listed(SCREW),
    more_screws=COUNT,
    not_to_say=listed(shape(figure=TEXT, why=TEXT)),
    stated=TEXTS,
    candidates=listed(CANDIDATE),
)
RUNDOWN = shape(
    day=DAY,
    minutes=NOTE_OR_NULL,
    seconds=COUNT,
    rule=TEXT,
    groups=listed(shape(heading=TEXT, items=listed(ITEM))),
    later=listed(ITEM),
    to_look_at=listed(ITEM),
    left_over=listed(ITEM),
)
WANTED = shape(
    day=DAY,
    half_life_days=NUMBER,
    wanted=listed(
        shape(
            short=TEXT,
            worth={"type": "number", "exclusiveMinimum": 0},
            times=NUMBER,
            last=DAY,
            questions=listed(NUMBER),
            families=TEXTS,
            nearest=listed(CANDIDATE),
        )
    ),
)
ADDRESS = {"type": "string", "pattern": r"^https?://\S+\.html(#\S+)?$"}
PATH = {"type": "string", "pattern": r"^content/\S+$"}
CLOCK = {"type": "string", "pattern": r"^(\d+:)?\d{1,3}:\d\d$"}
TOLD = listed(
    shape(
        date=DAY,
        place={"type": "string", "pattern": r"^(fastener|note|recording):\S+$"},
        where=TEXT,
        address=ADDRESS,
        path=PATH,
        line=NUMBER,
        was=TEXT,
        now=OR_NULL,
        told_by=OR_NULL,
        recordings=listed(
            shape(
                recording=TEXT,
                at={"anyOf": [CLOCK, {"type": "null"}]},
                said=TEXT,
                sure={"type": "boolean"},
                corrected={"type": "boolean"},
                line=TEXT,
            )
        ),
        questions=listed(
            shape(
                question=NUMBER,
                alias=OR_NULL,
                came_by={"enum": ["letter", "comment", "visit", "telephone", "recording"]},
                answered=DAY,
                line=TEXT,
            )
        ),
    )
)
CAUTION = shape(
    signal={"enum": ["danger", "warning", "caution", "notice"]},
    hazard=TEXT,
    consequence=OR_NULL,
    avoid=TEXT,
    defer_to=OR_NULL,
)
FINDING = shape(
    code=TEXT,
    severity={"enum": ["error", "warning", "advice"]},
    path=PATH,
    line=NUMBER,
    column=NUMBER,
    message=TEXT,
    hint={"type": "string"},
)
SHOWNOTES = shape(
    recording=TEXT,
    title=TEXT,
    address=ADDRESS,
    chapters=listed(shape(at=CLOCK, second=COUNT, title=TEXT, note=NOTE_OR_NULL)),
    notes=listed(shape(note=NUMBER, title=TEXT, address=ADDRESS)),
    parts=listed(shape(part=TEXT, name=TEXT, address=ADDRESS, tie=OR_NULL)),
    cautions=listed(CAUTION),
    corrections=TEXTS,
    disclosure=OR_NULL,
    characters=NUMBER,
    longest=NUMBER,
    text=OR_NULL,
    findings=listed(FINDING),
)
HEARD = listed(
    shape(
        at=CLOCK,
        second=COUNT,
        path=PATH,
        line=NUMBER,
        column=NUMBER,
        kind={"enum": ["thread", "torque", "tightness", "length"]},
        as_written=TEXT,
        canonical=TEXT,
        verdict={"enum": ["standard", "declared", "contradictory", "unstated"]},
        sentence=TEXT,
        stance={
            "enum": [
                "agrees",
                "disagrees",
                "disagrees, and is corrected",
                "cannot be",
                "set apart",
                "not in the register",
                "not said of which place",
            ]
        },
        places=listed(shape(row=TEXT, registered=OR_NULL)),
    )
)
INTAKE = shape(
    taken=listed(
        shape(
            message=TEXT,
            question=NUMBER,
            path={"type": "string", "pattern": r"^content/questions/Q\d{4,6}-[a-z0-9-]+\.md$"},
            alias=TEXT,
            same_as=NOTE_OR_NULL,
            attachments=TEXTS,
            remarks=TEXTS,
        )
    ),
    known=listed(shape(message=TEXT, question=NUMBER)),
    set_aside=listed(shape(message=TEXT, why=TEXT, attachments=TEXTS, remarks=TEXTS)),
    counts=shape(taken=COUNT, known=COUNT, set_aside=COUNT),
)
FORGOTTEN = listed(
    shape(
        question=NUMBER,
        path=PATH,
        was=PATH,
        leads_to_note=NOTE_OR_NULL,
        private_records=COUNT,
        still_named_at=TEXTS,
    )
)
SCHEMAS = {
    "intake": INTAKE,
    "forgotten": FORGOTTEN,
    "reply": {"anyOf": [REPLY, UNSURE]},
    "rundown": RUNDOWN,
    "wanted": WANTED,
    "told": TOLD,
    "shownotes": SHOWNOTES,
    "heard": HEARD,
}


def written() -> dict[str, str]:
    """Return each schema as its file holds it, by the name of the file."""
    draft = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return {
        f"{name}.schema.json": json.dumps(draft | schema, indent=2) + "\n"
        for name, schema in SCHEMAS.items()
    }


if __name__ == "__main__":
    for name, text in written().items():
        (HERE / name).write_text(text, encoding="utf-8")
