"""Thread forms and sizes, tolerances, and how much lead error a thread can bear."""
