"""Forty Paces: builds an offline roadside assistant from procedure files.

Data flows one way through four packages:

    content/ -> authoring -> geometry -> drawing -> outputs -> site/

``authoring`` reads YAML into checked records, ``geometry`` computes with
numbers alone, ``drawing`` turns placements and roads into SVG, and ``outputs``
writes the site, the cab file, the cards and the classroom. ``plugin`` (the only
module that imports MkDocs), ``commands`` and ``cli`` are on top of them.
"""
