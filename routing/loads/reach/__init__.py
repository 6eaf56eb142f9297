"""The part of the deck plan's model that keeps every unit within reach."""
