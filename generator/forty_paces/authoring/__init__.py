"""Reads a project's YAML content into checked, immutable records; imports no MkDocs and no drawing code."""
