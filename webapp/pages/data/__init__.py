"""Pages about the data itself."""
