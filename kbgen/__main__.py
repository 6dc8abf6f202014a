"""``python -m kbgen``."""

from __future__ import annotations

import sys

from kbgen.cli import main

if __name__ == "__main__":
    sys.exit(main())
