"""Which hives serve which promise, decided for all at once before any truck is."""
