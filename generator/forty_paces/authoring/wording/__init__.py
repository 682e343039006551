"""How procedures are worded: rules on structure (S), wording (W), capitals (T) and actions by heart (M).

One registry of small checks; each says what is wrong, where, and what to write instead.
"""
