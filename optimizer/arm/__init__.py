"""Whether a train goes on the arm: how shafts close, where studs stand, what strikes what."""
