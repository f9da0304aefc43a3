"""The wheel carries all that a tree of anybody's needs."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

PROJECT = Path(__file__).parents[2]
WORKSHOP = """\
name: Somebody's bench
language: en
base_address: https://somebody.example.org/
contact: Write to somebody@example.org
disclosure: We say how we came by what we link to.
"""


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    words = "-m pip wheel --quiet --disable-pip-version-check --no-deps --no-build-isolation"
    subprocess.run(
        [sys.executable, *words.split(), "--wheel-dir", str(folder), str(PROJECT)], check=True
    )
    (wheel,) = folder.glob("kbgen-*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "unpacked")
    return folder / "unpacked"


def test_templates_and_tables_are_in_the_wheel(unpacked):
    for source, inside in (
        (PROJECT / "templates", unpacked / "kbgen" / "templates"),
        (PROJECT / "kbgen" / "units" / "standards", unpacked / "kbgen" / "units" / "standards"),
    ):
        expected = {
            path.relative_to(source)
            for path in source.rglob("*")
            if path.is_file() and "__pycache__" not in path.parts
        }
        assert expected
        assert expected == {
            path.relative_to(inside) for path in inside.rglob("*") if path.is_file()
        }


def test_the_wheel_builds_a_tree_far_from_this_project(unpacked, tmp_path):
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "workshop.yaml").write_text(WORKSHOP, encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-P", "-m", "kbgen", "build"],
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": str(unpacked)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    home = (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
    assert "Somebody&#39;s bench" in home or "Somebody's bench" in home
