"""Which trains reach a pitch, with which gears; reach and compare."""
