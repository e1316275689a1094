"""Proof: how many solutions a grid has, found twice by engines that share no code."""
