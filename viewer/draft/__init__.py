"""A draft's openings gone through: what keys do, how marks look, the window and the page."""
