"""The shell: the van's inside as bare metal, from parameters or from a mesh file."""
