# Two commands: `make site` and `make test`. Both begin from nothing but Python and make.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: site test validate check lock clean

site: $(VENV)/runtime.stamp
	$(BIN)/kbgen build

test: $(VENV)/dev.stamp
	sh tests/browser/install-browser.sh
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/pytest

# Two outside judges of the built site; they need Node and Java and some minutes.
validate: $(VENV)/dev.stamp
	sh tests/browser/install-browser.sh
	sh tests/validators/install-validators.sh $(abspath $(BIN)/python)
	$(BIN)/python tests/validators/validate.py

$(VENV)/bin/python:
	$(PYTHON) -c 'import sys; sys.exit("Python 3.11 or later is needed, this is " + sys.version.split()[0] if sys.version_info < (3, 11) else 0)'
	$(PYTHON) -m venv $(VENV)

$(VENV)/runtime.stamp: pyproject.toml | $(VENV)/bin/python
	test -e $(VENV)/dev.stamp || $(BIN)/python -m pip install --quiet --disable-pip-version-check --editable .
	touch $@

$(VENV)/dev.stamp: pyproject.toml tests/requirements.lock | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes --requirement tests/requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	touch $@

# The lock is renewed on purpose, never by a test run.
lock: $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet pip-tools
	$(BIN)/python -m piptools compile --quiet --extra dev --extra bench --generate-hashes --allow-unsafe --strip-extras --no-emit-index-url --no-emit-trusted-host --no-emit-find-links --no-annotate --no-header --output-file tests/requirements.lock pyproject.toml

clean:
	rm -rf $(VENV) .kbgen
