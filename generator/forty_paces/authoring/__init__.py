"""Procedure files in, checked records out. Knows no MkDocs, no drawing."""
