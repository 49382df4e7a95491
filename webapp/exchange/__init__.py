"""Sheets that leave the program: described once, written as CSV and as XLSX."""
