"""How to make a gear: sheet, drawings, files to cut from."""
