"""The chart for the wall: which gears hang where for each thread, with the fewest changes."""
