"""The computing heart: numbers in, numbers out.

Imports nothing else of this project, so it could be lifted out as a library.
Lengths are floats in feet and carry ``_ft`` in their names; speeds are miles
per hour (``_mph``); grades are percent, downhill negative (``_pct``).
"""
