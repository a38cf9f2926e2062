"""What feeders, bars and the main fuse carry: states of the van, chargers, inverters, solar strings."""
