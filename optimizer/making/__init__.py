"""How a change gear is made: blank, measuring, cutter, dividing, outline, cost.

Knows no files, no terminal and no HTML.
"""
