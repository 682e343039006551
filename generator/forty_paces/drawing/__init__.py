"""Draws placements, roads and scenes as SVG. Of this project it imports only geometry."""
