"""``python -m ribway`` is the command ``ribway``."""

from __future__ import annotations

import sys

from ribway.cli import main

if __name__ == "__main__":
    sys.exit(main())
