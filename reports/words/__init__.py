"""Numbers, phrases and verdicts as people read them."""
