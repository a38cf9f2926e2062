"""The pull plan: in which order cables go in, from which end, how hard it is, and what to do where it does not go."""
