"""The audit: a finished plan is checked again from scratch, from what stands in it alone.

Nothing here is shared with the code that made the plan: formulas are written anew and tables are copies of their own,
so that a mistake made there is not made here too. Only `ribway.models` and numpy are imported.
"""
