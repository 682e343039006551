"""How procedures are worded: rules on structure, order, words and figures, each with a name in words.

One registry of small checks; each says what is wrong, where, and what to write instead.
"""
