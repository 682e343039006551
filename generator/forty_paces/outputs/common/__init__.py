"""What every output needs: the build context, templates, procedure views and self-contained HTML."""
