"""Data with sources (threads, index plates, cutters, materials, lathes) and its loaders."""
