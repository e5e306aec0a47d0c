"""Two lathes side by side."""
