"""Techniques: a family a file, each a finder that reads a board and words that tell what it saw."""
