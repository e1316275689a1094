"""Typography: the type that pages are set in, how wide it runs, which pairs are kerned."""
