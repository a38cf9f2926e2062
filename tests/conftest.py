"""Fixtures that every test may use."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

# The hand-made samples are a plain folder beside the tests; it goes last, so that it shadows nothing.
sys.path.append(str(Path(__file__).parent))

from ribway.models.plan.plan import Plan
from samples.plan import sample_plan as make_sample_plan


@pytest.fixture(scope="session")
def sample_plan() -> Plan:
    """A small, consistent plan made by hand: two looms, four runs, of them one AC and one data. Frozen, so shared."""
    return make_sample_plan()
