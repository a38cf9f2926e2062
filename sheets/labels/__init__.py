"""Labels for both ends of every run."""
