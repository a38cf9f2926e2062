"""Shipped tables are complete, sourced, checked on load; a damaged one is refused with its line."""

import csv
from importlib import resources
from itertools import pairwise

import pytest

from ribway.sizing.bases import base_table
from ribway.sizing.errors import TableFaultError, UnknownRuleError
from ribway.sizing.rules import AMBIENT_RULES, BASES, SizingRules, bundle_steps, fuse_window, least_size, rule_set
from ribway.sizing.tabledata import number_in, parse_rows

NAMES = [
    "ampacity_33cfr183",
    "ampacity_iec60364",
    "ampacity_iso10133",
    "ampacity_nec310",
    "ampacity_nec310_terminals",
    "awg",
    "bundle_factors",
    "coax",
    "data_links",
    "drop_formulas",
    "fuse_drops",
    "fuse_kinds",
    "fuse_opening",
    "fuse_positions",
    "fuse_ratings",
    "fuse_windows",
    "iec60228_class2",
    "iec60228_class5",
    "joints",
    "least_sizes",
    "metals",
    "rule_sets",
]


def test_every_shipped_table_has_sources():
    folder = resources.files("ribway.sizing.tables")
    found = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".csv"))
    assert found == [f"{name}.csv" for name in NAMES]
    for name in found:
        rows = list(csv.DictReader(folder.joinpath(name).read_text(encoding="utf-8").splitlines()))
        assert rows
        assert all(row["source"] and row["status"] for row in rows)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a,b,source,status\n", "no rows"),
        ("a,source,status\n1,x,y\n", "columns"),
        ("a,b,source,status\n1,2,,seen\n", "line 2: no source"),
        ("a,b,source,status\n1,2,x,y\n1,3,x,y\n", "line 3.*twice"),
        ("a,b,source,status\n1,2,x\n", "line 2: 4 columns"),
        ("a,b,source,status\n1,2,x,y,z\n", "line 2: 4 columns"),
    ],
)
def test_damaged_tables_are_refused(text, says):
    with pytest.raises(TableFaultError, match=says):
        parse_rows("t", text, ("a", "b"), ("a",))


@pytest.mark.parametrize("cell", ["", "x", "nan", "inf", "-1"])
def test_damaged_numbers_are_refused(cell):
    with pytest.raises(TableFaultError, match=r"t\.csv: a is"):
        number_in("t", {"a": cell}, "a")


def test_rule_sets_name_rules_that_exist():
    for name in ("careful", "33CFR183", "NEC", "ISO13297", "NEC-AC", "IEC-AC"):
        rules = rule_set(name)
        assert rules.name == name
        assert bundle_steps(rules.bundle)
        assert rules.ambient in AMBIENT_RULES
    assert fuse_window(rule_set().fuse_window).ampacity_factor == 1.0
    assert (least_size("ISO10133").single_mm2, least_size("ISO10133").sheath_mm2) == (1.0, 0.75)  # ISO 10133:2012


@pytest.mark.parametrize("ask", [bundle_steps, fuse_window, least_size, rule_set])
def test_unknown_rules_are_refused_with_the_known_ones(ask):
    with pytest.raises(UnknownRuleError, match=r"'Atlantis' is not known; accepted: \w+"):
        ask("Atlantis")
    with pytest.raises(UnknownRuleError, match="ambient rule"):
        SizingRules("x", "none", "Atlantis", "none", "careful")


@pytest.mark.parametrize("base", BASES)
def test_thicker_never_carries_less(base):
    rows = base_table(base).rows
    for thin, thick in pairwise(rows):
        assert all(low <= high for low, high in zip(thin.amps, thick.amps, strict=True))
