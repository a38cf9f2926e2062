"""Going through the openings of a draft: what a survey found, what a person says of each, and what comes of it."""
