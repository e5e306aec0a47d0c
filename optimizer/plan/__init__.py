"""Which gears to add: a maximum-coverage problem in which an option counts only when all of
its gears are there."""
