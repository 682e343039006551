"""Printing on paper, for cards and classroom: sheets, typeface, layout, imposition, PDF."""
