"""The coverage map and the gears to add."""
