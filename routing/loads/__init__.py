"""What stands where on the deck, and whether a scale, an inspector and a driver would take it."""
