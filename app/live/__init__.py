"""The live page: a server that holds one project open, plans it while it is edited, and draws it in a browser."""
