"""Every phrase in which advice is told, keyed by what it means; numbers go in the braces."""

from typing import Final

from labkit.text import Words

ADVICE: Final = Words("advice")
"""American English, about the eighth grade, in the trade's terms."""
