"""What every page is built of."""

from __future__ import annotations

import json

from gearchest.reports.page.shell import json_block


def test_data_blocks_cannot_end_their_script() -> None:
    text = json_block({"name": "</script><!--\u2028"})
    assert "<" not in text
    assert json.loads(text) == {"name": "</script><!--\u2028"}
