"""What the browser gets besides the report page's drawing scripts."""
