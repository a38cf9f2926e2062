"""Where to put a thing: every place bounded by copper, places planned in order of their bound until the best is shown."""
