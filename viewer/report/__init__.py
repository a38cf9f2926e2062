"""The report page: one HTML file with the van in 3D, its tables and room for notes, made from saved plans alone.

What is shown is laid out here as plain data; drawing is left to the scripts in ``scripts/``, which the page carries.
"""
