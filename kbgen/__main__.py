"""``python -m kbgen`` is the command ``kbgen``."""

from kbgen.cli import run

run()
