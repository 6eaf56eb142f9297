"""The loop between tours and loads: a truck-night that no deck carries is planned otherwise, or taken out."""
