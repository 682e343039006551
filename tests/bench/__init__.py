"""Measurements: always as ratios beside something in the same run, never as a test."""
