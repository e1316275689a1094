"""Ladder: the way a person solves, easiest idea first, each step with its reason."""
