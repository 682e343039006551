"""Glovebox cards: faces set by measured type, card sets, and the print run."""
