"""Setters: who gave which grid and with whose leave, proof sheets for them, and grids as they come.

`roll` says what is there and what is missing, `proof_sheet` sets a sheet for a guest to approve,
`taking` reads a grid out of whatever text it came in.
"""
