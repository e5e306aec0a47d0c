"""What meshes carry and what teeth bear."""
