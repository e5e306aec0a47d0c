"""Makes the instances beside this file importable by the tests of the plan."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
