"""The street: a route, how it is walked, and what is played where."""
