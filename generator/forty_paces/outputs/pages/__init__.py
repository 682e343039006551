"""The site's own pages: procedures, placing, tables, lists, and what authors and reviewers need."""
