"""The nouns of the music: scale, tempo, tune and drum score. They know no rules."""
