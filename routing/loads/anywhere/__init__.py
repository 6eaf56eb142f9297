"""Deck plans whose units stand anywhere on the deck: for loads that no marked places suit."""
