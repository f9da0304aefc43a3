"""Builds the demonstration with every Python that is here, and compares the sites byte for byte.

    python tests/packaging/versions.py [PYTHON...]

Without names, every ``python3.N`` on the path from the oldest that is supported on.
Each gets an environment of its own in a temporary folder, made from the packages that
the program asks for. Exit 1 where two sites differ, or where there is only one Python.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
OLDEST, NEWEST = 11, 19


def pythons() -> list[str]:
    """Return the Pythons on the path, one a minor version."""
    named = (shutil.which(f"python3.{minor}") for minor in range(OLDEST, NEWEST + 1))
    return [path for path in named if path]


def site_of(python: str, folder: Path) -> dict[str, str]:
    """Return the files of the demonstration's site as one Python builds it: path → digest."""
    shutil.copytree(ROOT / "content", folder / "tree" / "content")
    subprocess.run([python, "-m", "venv", folder / "environment"], check=True)
    inside = folder / "environment" / ("Scripts" if sys.platform == "win32" else "bin") / "python"
    install = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--editable"]
    subprocess.run([inside, *install, str(ROOT)], check=True)
    build = ["-m", "kbgen", "build", "--tree", str(folder / "tree")]
    ran = subprocess.run([inside, *build], check=False, capture_output=True, text=True)
    if ran.returncode:
        raise SystemExit(f"{python} cannot build the demonstration:\n{ran.stderr}")
    site = folder / "tree" / "site"
    return {
        path.relative_to(site).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(site.rglob("*"))
        if path.is_file()
    }


def main() -> int:
    """Compare the sites."""
    found: dict[str, dict[str, str]] = {}
    for python in sys.argv[1:] or pythons():
        words = [python, "-c", "import sys; print(sys.version.split()[0])"]
        version = subprocess.run(words, check=True, capture_output=True, text=True).stdout.strip()
        with tempfile.TemporaryDirectory() as folder:
            found[version] = site_of(python, Path(folder))
        print(f"Python {version}: {len(found[version])} files", flush=True)
    if len(found) < 2:
        print("there is only one Python here; name others", file=sys.stderr)
        return 1
    first, *others = found
    differ = [
        f"{path} differs between Python {first} and {other}"
        for other in others
        for path in sorted(found[first].keys() | found[other].keys())
        if found[first].get(path) != found[other].get(path)
    ]
    print("\n".join(differ[:20]) or "every site is the same, byte for byte")
    return bool(differ)


if __name__ == "__main__":
    sys.exit(main())
