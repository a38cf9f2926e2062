"""A scan of a van's inside as the lines of a tape: ribs, bows and wheel arches as ridges over the skin."""
