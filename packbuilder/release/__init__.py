"""Release: what leaves the house, and the record of what left it."""
