"""The domain and the mathematics: threads, gears, trains, fit, search and plan.

Knows no files, no terminal and no HTML.
"""
