"""Input that nobody means well: whatever is typed or read, one plain sentence or a sound answer."""
