"""The sentences that several rooms share: of the bench, the advice, the charts and paper."""

from typing import Final

from labkit.text import Words

WORDS: Final = Words("bench")
ADVICE: Final = Words("advice")
CHARTS: Final = Words("charts")
"""Beside those that a chart shares with the bench, which are in `WORDS`."""

PAPER_WORDS: Final = Words("paper")  # what stands on paper alone
WINDOW_WORDS: Final = Words("window")  # see `labkit.view.window_told` for what is put in the braces
