"""Pictures: reads a saved plan and nothing else; the layout is plain data, drawing is thin."""
