"""One train of a want: its sheet, its table, its JSON."""
