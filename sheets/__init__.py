"""Paper: reads a saved plan and nothing else; tables are plain data, layout is plain data, drawing is thin."""
