"""Checked records and drawings in, everything a person holds out: pages, cab file, cards, classroom."""
