"""The browser of the tests: the system's own Chromium, driven by Playwright."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
NAMES = ("chromium", "chromium-browser", "google-chrome")


def chromium_path() -> str:
    """Return where the system's Chromium is; ``CHROMIUM`` in the environment goes first."""
    for name in (os.environ.get("CHROMIUM", ""), *NAMES):
        if name and (path := shutil.which(name)):
            return path
    raise FileNotFoundError(
        f"no browser named {', '.join(NAMES)}; run tests/browser/install-browser.sh, "
        "or name one: CHROMIUM=/path/to/chromium"
    )


@contextmanager
def launched() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=chromium_path(), args=FLAGS, headless=True
        )
        try:
            yield browser
        finally:
            browser.close()
