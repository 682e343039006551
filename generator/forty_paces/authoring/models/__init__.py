"""Pydantic models of the content files, one module per kind of file."""
