"""The classroom: lessons, the placing exercise, the sight explorer, and printed documents."""
