"""YAML fields: documents of named fields, read with every fault told by file, line and field.

`document` reads a YAML file as plain data, `parts` tells its parts and their faults, `values` says
what a single field may hold, `groups` puts fields together; each gives the JSON Schema that says
the same. The manifest and the layouts are declared with these.
"""
