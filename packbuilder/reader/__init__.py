"""The reader: eyes for a printed file. What they see of it are marks, pages, grids, words and ink.

They share nothing with the press, and judge nothing: `readback` holds what they see against the
book. Marks and pixels come from pdfium, a viewer's own parser; what leads a reader through the file
(links, bookmarks, fields) from pypdf.
"""
