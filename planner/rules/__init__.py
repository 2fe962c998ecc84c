"""The rule book: every number the trade owns, with its unit, source and status."""
