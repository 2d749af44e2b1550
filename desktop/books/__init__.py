"""Books a bookkeeper can audit: the workbook with live formulas, and plain csv."""
