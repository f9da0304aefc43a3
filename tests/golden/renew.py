"""Renews the expected site of the small tree beside this file, and the tree's ledger.

Run it after a change that is meant to change pages, and read what changed before it
is committed:

    python tests/golden/renew.py
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
TREE = HERE / "tree"
EXPECTED = HERE / "expected"
LEDGER = Path("content") / "addresses.tsv"
AS_THEY_ARE = ("scripts", "fonts")  # published as they stand in templates/: not kept twice

sys.path.insert(0, str(HERE.parents[1]))


def built_site(folder: Path) -> Path:
    """Build a copy of the small tree in ``folder`` and return the copy."""
    from kbgen.build import build

    root = folder / "tree"
    shutil.copytree(TREE, root)
    built = build(root)
    if not built.published:
        from kbgen.findings import render

        raise SystemExit("the small tree has errors:\n" + render(built.findings, "text"))
    return root


def main() -> None:
    """Put the site that is built now in the place of the expected one."""
    with tempfile.TemporaryDirectory() as folder:
        root = built_site(Path(folder))
        if EXPECTED.exists():
            shutil.rmtree(EXPECTED)
        shutil.copytree(root / "site", EXPECTED, ignore=shutil.ignore_patterns(".*", *AS_THEY_ARE))
        shutil.copyfile(root / LEDGER, TREE / LEDGER)
    print(f"{sum(path.is_file() for path in EXPECTED.rglob('*'))} files in {EXPECTED.name}/")


if __name__ == "__main__":
    main()
