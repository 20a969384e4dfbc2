"""The pure arithmetic of the book: plain numbers and numpy arrays in, the same out."""
