"""Filling a slot: which sets, and in which order."""
