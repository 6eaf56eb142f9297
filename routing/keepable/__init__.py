"""Keepable: why a promise cannot be kept, and what would make it keepable."""
