"""Miles and minutes between places, behind one protocol."""
