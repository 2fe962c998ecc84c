"""Step 1: the text of a tune file becomes a Tune."""
