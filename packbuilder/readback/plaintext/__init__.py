"""Read-back of the text edition: the file, read by the house style alone.

This room knows the file by DEVELOPERS.md, "What the text edition promises", and shares no code with
the room that writes it.
"""

from packbuilder.readback.plaintext.reading import read_text

__all__ = ["read_text"]
