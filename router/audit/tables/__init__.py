"""The audit's own copies of catalogue values, one table a file; every row names its source."""
