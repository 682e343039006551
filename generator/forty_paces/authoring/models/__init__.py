"""The shapes that content files must have, one module per kind of file."""
