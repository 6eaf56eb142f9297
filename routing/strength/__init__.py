"""Inspection records turned into the frames of bees that a plan counts on."""
