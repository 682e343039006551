"""Named wording rules for procedures: structure, instructions, vocabulary and figures.

A registry of small checks; each reports what is wrong, where, and what to write instead.
"""
