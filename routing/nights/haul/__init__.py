"""Jobs put on trucks and nights by a routing library."""
