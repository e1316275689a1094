"""Manifest: the YAML that an editor writes, read into a Pack with every fault told.

`fields` has the fields and their JSON Schema, `values` what only they may hold, `rules` and
`ladders` the readers of those, `loading` reads all together.
"""

from packbuilder.manifest.fields import schema
from packbuilder.manifest.ladders import load_ladder
from packbuilder.manifest.loading import NAME, load, load_entries, slug_of

__all__ = ["NAME", "load", "load_entries", "load_ladder", "schema", "slug_of"]
