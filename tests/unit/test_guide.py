"""What the guide and the README say is held to the program."""

import re
import runpy
from pathlib import Path

import pytest

from kbgen.cli import build_parser
from kbgen.commands import NAMES, all_commands

PROJECT = Path(__file__).parents[2]
README = (PROJECT / "README.md").read_text(encoding="utf-8")
GUIDE = (PROJECT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_list_of_codes_in_the_guide_is_the_table_of_codes():
    writer = runpy.run_path(str(PROJECT / "tests" / "write_codes.py"))
    assert writer["renewed"](GUIDE) == GUIDE, "run: python tests/write_codes.py"


def test_the_readme_names_only_commands_that_exist():
    named = set(re.findall(r"^kbgen (\w+)|`kbgen (\w+)", README, re.MULTILINE))
    words = {one or other for one, other in named}
    assert words
    assert words <= set(NAMES)


def test_the_readme_opens_with_one_paragraph_about_the_job():
    title, paragraph, heading = README.split("\n\n")[:3]
    assert title == "# kbgen"
    assert "\n" not in paragraph
    assert paragraph.startswith("You repair machines")
    assert heading.startswith("## ")


@pytest.mark.parametrize("command", all_commands(), ids=lambda command: command.name)
def test_every_command_shows_an_example(command, capsys):
    with pytest.raises(SystemExit) as ended:
        build_parser(all_commands()).parse_args([command.name, "--help"])
    assert ended.value.code == 0
    shown = capsys.readouterr().out
    assert f"kbgen {command.name}" in shown.split("example:")[1]


def test_the_guide_names_every_room():
    rooms = {
        path.name + ("/" if path.is_dir() else "")
        for path in (PROJECT / "kbgen").iterdir()
        if not path.name.startswith("__") and path.suffix in ("", ".py")
    }
    assert {room for room in rooms if f"`{room}`" not in GUIDE} == set()
