"""Book: what goes to print. `book` says what it is; `assembling` makes it from a passed gate."""

from packbuilder.book.book import Book, Entry, Lesson

__all__ = ["Book", "Entry", "Lesson"]
