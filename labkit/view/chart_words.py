"""Phrases of the charts beside a bench, keyed as in `labkit.view.words`."""

from typing import Final

from labkit.text import Words

CHARTS: Final = Words("charts")
"""Beside those that a chart shares with the bench, which stand in `labkit.view.words`."""
