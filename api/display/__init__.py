"""Results into words: one View for each page or sheet."""
