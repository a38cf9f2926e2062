"""The rule set that a shop chose, for the sizing room and in the words of the plan."""

from __future__ import annotations

from dataclasses import replace

from ribway.models.shop import Shop
from ribway.sizing.rules import SizingRules, rule_set

FUSE_WINDOWS = {"careful": "careful", "33 CFR 183 limit": "33CFR183-150"}
BUNDLE_NAMES = {"33CFR183": "33 CFR 183", "IEC60364": "IEC 60364"}
AC_RULES = {"awg": "NEC-AC", "metric": "IEC-AC"}


def sizing_rules(shop: Shop) -> SizingRules:
    """The sizing rules that the shop's settings name: its rule set, with what it says otherwise."""
    rules = rule_set(shop.rules)
    if shop.bundle_rule is not None:
        rules = replace(rules, bundle=shop.bundle_rule)
    if shop.fuse_rule is not None:
        rules = replace(rules, fuse_window=FUSE_WINDOWS[shop.fuse_rule])
    return replace(rules, derating=shop.derating)


def ac_rules(shop: Shop) -> SizingRules:
    """The rules for AC cables, for information: the shop's, else those of the standard that its stock is made for.

    At 50 V and above the factor for a bundle is law: a heat balance alone does not do.
    """
    derating = "stricter" if shop.derating == "heat" else shop.derating
    return replace(rule_set(shop.ac_rules or AC_RULES[shop.stock]), derating=derating)


def bundle_words(rules: SizingRules) -> str:
    """The bundle rule as plans name it: 33 CFR 183, NEC, IEC 60364 or none."""
    return BUNDLE_NAMES.get(rules.bundle, rules.bundle)


def fuse_words(rules: SizingRules) -> str:
    """The fuse rule as plans name it: careful or 33 CFR 183 limit."""
    return next(words for words, window in FUSE_WINDOWS.items() if window == rules.fuse_window)
