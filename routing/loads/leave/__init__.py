"""Which units to leave behind, so that every weight limit is kept."""
