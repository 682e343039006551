"""Every sentence about a placement, by an id, and the one function that fills it.

Geometry gives codes and figures (:class:`~forty_paces.geometry.records.Message`); the words are here, so that
another language can be laid over them in one place.
"""
