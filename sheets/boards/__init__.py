"""Loom boards: each loom unfolded flat and true to scale, to be laid out and taped on the bench."""
