"""Paper for cards and classroom alike: sheets, type, flow, imposition, PDF."""
