"""Shells that several tests look at, built once; the helpers beside this file are made importable."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from ribway.router.shell.build import build
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import PRESETS, preset

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def shells() -> dict[str, Shell]:
    """Every preset's shell by name."""
    return {name: build(preset(name)) for name in PRESETS}
