"""The front door: command line and start-up. It reads what was asked, calls the rooms, and prints."""
