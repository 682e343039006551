"""The classroom: lessons, exercises, the sight explorer, and their paper."""
