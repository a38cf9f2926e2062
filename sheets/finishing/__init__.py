"""Papers for the last days: testing, fuses, earths, AC, volts."""
