"""The site's pages: procedures, placing, tables, lists, and pages for authors and reviewers."""
