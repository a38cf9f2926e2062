"""Edits of a project: as changes of its data, and of its file's text with remarks, order and quotes kept; saving it."""
