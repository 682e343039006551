"""The cab assistant: one self-contained file with its data, finder and printed tables."""
