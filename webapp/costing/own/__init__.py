"""A maker's own workbook: its columns guessed and corrected, its rows read or said to be wrong at their cell.

What is in it becomes changes of the book (`planned`); nothing here knows a page or a file. `sheets.read_own` begins it.
"""
