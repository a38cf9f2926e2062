"""One small file a command: each reads what was asked, calls the rooms, prints, and returns an exit code."""
