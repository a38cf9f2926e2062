"""Fuses beyond their rating: kind and breaking capacity, where they sit, what a short does, and the ways of a board."""
