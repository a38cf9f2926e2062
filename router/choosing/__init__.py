"""Choosing between ways to do it: other routes of a run, other plans of a van, fewer sizes, what would free a run."""
