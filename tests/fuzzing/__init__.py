"""Fuzzing: bytes that nobody would write, for every reader of foreign files."""
