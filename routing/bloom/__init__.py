"""Bloom notes and dates turned into the nights when hives go in and come out."""
