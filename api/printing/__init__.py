"""Step 6: a View and a template become PDF bytes; the only door to WeasyPrint."""
