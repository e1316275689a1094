"""Manifest: the YAML that an editor writes, read into a Pack with every fault told.

`fieldtypes` has the kinds of field, `fields` the fields and their JSON Schema, `groups` takes
each field alone, `loading` all together; `rules`, `ladders` and `hints` have the readers of those.
"""

from packbuilder.manifest.fields import schema
from packbuilder.manifest.ladders import load_ladder
from packbuilder.manifest.loading import NAME, load, slug_of

__all__ = ["NAME", "load", "load_ladder", "schema", "slug_of"]
