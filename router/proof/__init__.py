"""All runs at once, with proof: routes chosen together, and a lower bound on what any choice would cost.

Plain arrays in, numbers out: these files know no project, no vehicle and no shell.
"""
