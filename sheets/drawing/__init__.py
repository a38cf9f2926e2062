"""Drawings to scale: from metres to a page, with words beside what they are about."""
