"""Placements, roads and scenes as SVG. Imports geometry, and nothing else of ours."""
