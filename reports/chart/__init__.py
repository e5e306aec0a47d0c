"""The chart for the wall: on paper, on the screen, in the terminal, as JSON."""
