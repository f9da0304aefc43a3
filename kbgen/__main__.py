"""``python -m kbgen`` is the command ``kbgen``."""

import sys

from kbgen.cli import main

sys.exit(main())
