"""Everything that a reader gets, built from checked records and drawings: pages, cab, cards, classroom."""
