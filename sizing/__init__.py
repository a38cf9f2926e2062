"""Sizes and fuses: resistance, drop, ampacity, protection and the choice of a stocked conductor.

Pure functions over numbers and frozen data, one method a file; tables are CSV with sources in `tables/`.
The planner needs `demand.Demand`, `conductor.Conductor`, `rules.rule_set`, `verdict.passes` and
`choice.choose_conductor`; the rest at the top is what these are made of. What is about more than one run lies in folders:
`network/`, `feeders/`, `heat/`, `protection/`, `signals/`. Rules and sources: docs/sizing.md.
"""
