"""Step 2: what is in the tune? Movements, beats, phrases, figures and salience."""
