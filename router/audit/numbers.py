"""Numbers of runs: each was given once, and every run of the plan has the one that was given to it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from ribway.models.plan.results import Finding
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error

Key = tuple[str, str, frozenset[str]]


def check_numbers(book: Book) -> Iterator[Finding]:
    """The plan's runs against every number that was ever given; nothing in plans from before there was a register."""
    given = book.plan.numbers
    if not given:
        return
    for name, count in Counter(name for one in given for name in (one.run, *one.before)).items():
        if count > 1:
            yield error("number-twice", name, f"the number {name} was given {count} times")
    owners: dict[str, Key] = {}
    present: dict[Key, set[str]] = {}
    for one in given:
        key = (one.circuit, one.role, frozenset((one.from_, one.to)))
        owners.update(dict.fromkeys((one.run, *one.before), key))
        present.setdefault(key, set()).add(one.run)
    for run in book.plan.runs:
        key = (run.circuit, run.role, frozenset((run.from_, run.to)))
        if run.id in owners and owners[run.id] != key:
            yield error("number-of-another", run.id, f"the number {run.id} was given to another run before")
        elif run.id not in present.get(key, ()):
            known = ", ".join(sorted(present.get(key, ()))) or "none"
            yield error("number-not-kept", run.id, f"its number is {known}, and it is called {run.id}")
