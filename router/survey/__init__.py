"""Any mesh as a routable shell: read and mend it, find its openings and parts, and draft a project of it."""
