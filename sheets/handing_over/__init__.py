"""Papers for whoever pays and whoever drives: the quote and the handover pack."""
