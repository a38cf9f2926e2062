"""How stated errors of measurements become the chance that a cut length is short; numbers in, numbers out."""
