"""Lets these tests use the numerical mesh check that they share with the reports' tests."""

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[2]))
