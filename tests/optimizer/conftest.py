"""Makes the oracle and the drawn lathes beside this file importable by the tests."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
