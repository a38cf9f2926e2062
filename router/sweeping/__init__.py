"""Many projects planned through one function, over any standard executor: this process, local ones, or a cluster."""
