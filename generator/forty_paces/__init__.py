"""Forty Paces: procedure files in, an offline roadside assistant out.

Data flows one way through four rooms:

    content/ -> authoring -> geometry -> drawing -> outputs -> site/

``authoring`` reads YAML into checked records, ``geometry`` computes with
numbers alone, ``drawing`` turns placements and roads into SVG, and ``outputs``
writes the site, the cab file, the cards and the classroom. ``plugin`` (the only
module that imports MkDocs) and ``cli`` sit on top.
"""
