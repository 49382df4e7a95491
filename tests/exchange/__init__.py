"""Sheets as files, read back by other readers than the writers."""
