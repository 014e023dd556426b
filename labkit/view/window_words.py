"""Phrases of the operating window, keyed as in `labkit.view.words`."""

from typing import Final

from labkit.text import Words

WINDOW_WORDS: Final = Words("window")
"""See `labkit.view.window_told` for what is put in the braces."""
