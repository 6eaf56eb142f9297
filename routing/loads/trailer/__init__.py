"""The part of the deck plan's model that only a trailer on its coupling asks for."""
