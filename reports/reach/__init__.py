"""Whether one pitch can be cut."""
