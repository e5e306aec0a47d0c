"""Everything needed to cut one thread, on one sheet."""
