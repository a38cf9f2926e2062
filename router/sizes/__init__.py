"""Sizes, fuses, volts and boards of whole circuits, held against every limit."""
