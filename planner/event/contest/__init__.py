"""Contests: dated rule sets, and a set held against them."""
