"""The way in through a browser: pages and an interface for programs, on this machine only.

Nothing here is imported unless `gearchest open` runs.
"""
