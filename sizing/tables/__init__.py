"""Catalogue values as CSV, one table a file; every row names its source. Read by ribway.sizing.tabledata."""
