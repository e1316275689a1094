"""Layouts: how pages are set, as data. Each is a YAML file; a new one needs no code.

`papers` knows sizes, `model` the fields and their JSON Schema, `loading` finds and reads the files,
`checks` tells what does not go together, `fitting` how large cells come out. ``layouts/README.md``
says what each field does. Nothing here draws: the gate asks whether a pack fits, the pages set it.
"""

from packbuilder.layouts.fitting import cell_size, misfit
from packbuilder.layouts.loading import available, load
from packbuilder.layouts.model import Layout, schema
from packbuilder.layouts.papers import MM, PAPERS

__all__ = ["MM", "PAPERS", "Layout", "available", "cell_size", "load", "misfit", "schema"]
