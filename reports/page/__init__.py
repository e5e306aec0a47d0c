"""The shell every HTML file shares, and how text travels in it."""
