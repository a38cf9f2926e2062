"""Planning again after a small change: all that does not depend on it is taken from what was made before."""
