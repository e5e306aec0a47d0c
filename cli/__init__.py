"""The commands: files and options in, results out."""
