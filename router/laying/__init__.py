"""Paths laid out in space, and the lengths that are cut from them."""
