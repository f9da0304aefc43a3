"""Keys of a front matter are set, and nothing else changes by a byte."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.content.edit import set_keys, with_keys

PATH = "content/questions/Q0007-winder.md"
ANSWER = {"standing": "answered", "answered_by": 39, "answered": datetime.date(2026, 3, 27)}
LINES = "standing: answered\nanswered_by: 39\nanswered: 2026-03-27\n"
BODY = "---\nDear both,\n\n  standing: waiting for a spool.\n---\nYours\n"


def changed(front: str, body: str = BODY, path: str = PATH, **values: object) -> str:
    data = f"---\n{front}{body}".encode()
    return with_keys(path, data, values or ANSWER).decode()  # type: ignore[arg-type]


HEAD = "date: 2026-03-06\nalias: Hazel B.\n"


@pytest.mark.parametrize(
    ("front", "expected"),
    [
        pytest.param(
            f"{HEAD}came_by: letter\n", f"{HEAD}came_by: letter\n{LINES}", id="below the last key"
        ),
        pytest.param(
            f"{HEAD}standing: waiting\ncame_by: letter\n",
            f"{HEAD}{LINES}came_by: letter\n",
            id="in the place of what stood there",
        ),
        pytest.param(
            f"{HEAD}standing: 'waiting'  # since spring\ncame_by: letter # really\n",
            f"{HEAD}standing: answered  # since spring\nanswered_by: 39\nanswered: 2026-03-27\n"
            "came_by: letter # really\n",
            id="remarks and quotation marks",
        ),
        pytest.param(
            f"{HEAD}standing: >-\n  waiting\n\ncame_by: letter\n",
            f"{HEAD}standing: answered\nanswered_by: 39\nanswered: 2026-03-27\n\ncame_by: letter\n",
            id="a folded value",
        ),
        pytest.param(
            "{date: 2026-03-06, standing: waiting, alias: H, came_by: letter}\n",
            "{date: 2026-03-06, standing: answered, answered_by: 39, answered: 2026-03-27, "
            "alias: H, came_by: letter}\n",
            id="in braces",
        ),
        pytest.param(
            "  date: 2026-03-06\n  alias: H\n  came_by: letter\n",
            "  date: 2026-03-06\n  alias: H\n  came_by: letter\n  standing: answered\n"
            "  answered_by: 39\n  answered: 2026-03-27\n",
            id="all keys set in",
        ),
        pytest.param(
            f"{HEAD}came_by: letter\nabout: {{recording: winder-evening,\n  at: '12:40'}}\n",
            f"{HEAD}came_by: letter\n{LINES}about: {{recording: winder-evening,\n  at: '12:40'}}\n",
            id="not inside a mapping in braces",
        ),
        pytest.param(
            f"{HEAD}came_by: letter\nabout:\n  recording: winder-evening\n",
            f"{HEAD}came_by: letter\n{LINES}about:\n  recording: winder-evening\n",
            id="not inside a mapping on lines of its own",
        ),
    ],
)
def test_a_question_is_marked(front: str, expected: str) -> None:
    assert changed(front) == f"---\n{expected}{BODY}"


def test_line_ends_and_the_byte_order_mark_stay() -> None:
    data = f"---\n{HEAD}standing: waiting\ncame_by: letter\n{BODY}".replace("\n", "\r\n")
    expected = f"---\n{HEAD}{LINES}came_by: letter\n{BODY}".replace("\n", "\r\n")
    assert with_keys(PATH, b"\xef\xbb\xbf" + data.encode(), ANSWER) == (
        b"\xef\xbb\xbf" + expected.encode()
    )


@pytest.mark.parametrize(
    ("front", "values", "says"),
    [
        pytest.param("date: 2026-03-06\n", ANSWER, "alias", id="a file with an error"),
        pytest.param(f"{HEAD}came_by: letter\n", {"answered": "soon"}, "soon", id="no day"),
        pytest.param(f"{HEAD}came_by: letter\n", {"answered_by": 3}, "answered_by", id="half"),
        pytest.param(f"{HEAD}came_by: letter\n", {"sent": "yes"}, "sent", id="no such key"),
    ],
)
def test_what_would_not_read_back_is_refused(front, values, says) -> None:
    with pytest.raises(ValueError, match=says):
        with_keys(PATH, f"---\n{front}{BODY}".encode(), values)


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp", "Cf")))


@given(WORDS, st.lists(WORDS, max_size=4))
def test_the_words_never_change(alias: str, lines: list[str]) -> None:
    quoted = "'" + "A" + alias.replace("'", "''") + "'"
    front = f"alias: {quoted}\ndate: 2026-03-06\nstanding: waiting\ncame_by: letter\n"
    body = "---\n" + "\n".join(lines)
    data = f"---\n{front}{body}".encode()
    try:
        after = with_keys(PATH, data, ANSWER)
    except ValueError:
        return  # not every letter may stand in a content file
    assert after == data.replace(b"standing: waiting\n", LINES.encode(), 1)


def test_the_file_is_read_anew_and_written_whole(tmp_path) -> None:
    file = tmp_path / PATH
    file.parent.mkdir(parents=True)
    file.write_bytes(f"---\n{HEAD}came_by: letter\n{BODY}".encode())
    set_keys(tmp_path, PATH, ANSWER)
    assert file.read_text(encoding="utf-8") == f"---\n{HEAD}came_by: letter\n{LINES}{BODY}"
    with pytest.raises(ValueError, match="soon"):
        set_keys(tmp_path, PATH, {"answered": "soon"})
    assert file.read_text(encoding="utf-8") == f"---\n{HEAD}came_by: letter\n{LINES}{BODY}"
    assert [path.name for path in file.parent.iterdir()] == [file.name]
