"""Results to HTML, SVG, CSV and JSON; computes nothing."""
