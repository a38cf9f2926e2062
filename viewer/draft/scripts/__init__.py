"""The page's own scripts: standard modules, usable as they are from a server, joined into one when a page is written."""
