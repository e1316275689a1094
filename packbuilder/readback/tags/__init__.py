"""Tags: what a screen reader is told of the pages, held against the book.

`tree` reads the file's structure tree, `heard` joins it with the text of pages, and the checks ask
whether it is whole (`whole`), tells each section and item in order (`told`, `order`), and says each
grid cell by cell (`tables`, `summaries`).
"""

from packbuilder.readback.tags.checks import check_tags
from packbuilder.readback.tags.order import check_links
from packbuilder.readback.tags.tree import tree_of

__all__ = ["check_links", "check_tags", "tree_of"]
