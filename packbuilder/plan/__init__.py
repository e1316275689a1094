"""Plan: all that stands on the pages of a book, as plain values, before anything is drawn."""
