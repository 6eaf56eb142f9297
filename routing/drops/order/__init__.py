"""The order of the drops of one orchard: a small round from the gate along the tracks."""
