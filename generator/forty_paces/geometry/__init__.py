"""Device placement, sight distance and road geometry as pure functions of numbers.

Imports nothing else of this project, so it can be used as a library.
Lengths are floats in feet and carry ``_ft`` in their names; speeds are miles
per hour (``_mph``); grades are percent, downhill negative (``_pct``).
"""
