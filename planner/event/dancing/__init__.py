"""Dances: which tunes fill the steps, and what does not suit."""
