"""An unknown thread named: for the terminal and as a document."""
