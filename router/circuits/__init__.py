"""From circuits to runs: the cables there are, what each carries, and the stocked cables that come into question."""
