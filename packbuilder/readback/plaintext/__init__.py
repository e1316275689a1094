"""Read-back of the text edition: the file, read by the house style alone.

This room knows the file by what `plaintext/text-edition.md` promises, and shares no code
with the room that writes it.
"""

from packbuilder.readback.plaintext.reading import read_text

__all__ = ["read_text"]
