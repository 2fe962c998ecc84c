"""The nouns of the occasion and its sums: pure arithmetic on people, clocks, streets and rules."""
