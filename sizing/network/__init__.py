"""Radial networks solved node by node: what they are made of, their layouts, the solver, and the volts at each device."""
