"""Code shared by all outputs: the build context, templates, procedure views and self-contained HTML."""
