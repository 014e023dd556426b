"""Every phrase that pictures, benches, reports and pages show, keyed by what it means.

Numbers and units are formatted apart and put in the braces, so that a second language needs only a
second catalogue. American English, about the eighth grade, in the trade's terms.
"""

from typing import Final

from labkit.text import Words

WORDS: Final = Words("bench")
ADVICE: Final = Words("advice")
CHARTS: Final = Words("charts")
"""Beside those that a chart shares with the bench, which are in `WORDS`."""

PAPER_WORDS: Final = Words("paper")
"""What stands on paper alone."""

WINDOW_WORDS: Final = Words("window")
"""See `labkit.view.window_told` for what is put in the braces."""
