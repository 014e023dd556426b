"""Phrases that stand on paper alone, keyed as in `labkit.view.words`."""

from typing import Final

from labkit.text import Words

PAPER_WORDS: Final = Words("paper")
"""American English, about the eighth grade, in the trade's terms."""
