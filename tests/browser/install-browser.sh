#!/bin/sh
# Makes sure that a Chromium is there for the browser tests: uses one that is installed, else asks
# the system's package manager, else says the one line to run and fails.
set -eu

for name in "${CHROMIUM:-}" chromium chromium-browser google-chrome; do
    [ -n "$name" ] && command -v "$name" >/dev/null 2>&1 && exit 0
done

if command -v apt-get >/dev/null 2>&1; then
    line='apt-get update && apt-get install --yes --no-install-recommends chromium fonts-dejavu-core'
elif command -v dnf >/dev/null 2>&1; then
    line='dnf install --assumeyes chromium'
elif command -v pacman >/dev/null 2>&1; then
    line='pacman --sync --noconfirm chromium'
elif command -v brew >/dev/null 2>&1; then
    line='brew install --cask chromium'
else
    echo 'The tests need Chromium. Install it by hand and name it: CHROMIUM=/path/to/chromium make test' >&2
    exit 1
fi

if [ "$(id -u)" = 0 ]; then
    DEBIAN_FRONTEND=noninteractive sh -c "$line"
elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
    sudo -n sh -c "DEBIAN_FRONTEND=noninteractive; export DEBIAN_FRONTEND; $line"
else
    echo 'The tests need Chromium, and it may not be installed from here. Run this one line, then again:' >&2
    echo "    sudo sh -c '$line'" >&2
    exit 1
fi
