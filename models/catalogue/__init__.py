"""The starter catalogue: usual currents and leads of the things people build into vans, as tables with their source."""
