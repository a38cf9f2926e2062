"""Drawings of walls, roof and floor: where things go, where holes are, where nobody drills."""
