"""The nouns and events of the book: frozen classes, one sentence each on why they exist."""
