"""Data and coax: greatest lengths, decibels, the voltage of a powered bus, and makers' leads of fixed length."""
