"""Glovebox and wallet cards: content of the faces, layout by measured type, sets, and documents."""
