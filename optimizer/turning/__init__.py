"""Turning one thread: loads, half-nuts, speed, infeed, the work, screw force, cautions."""
