"""Every phrase that the pictures and benches show, keyed by what it means.

Numbers and units are formatted apart and put in the braces, so that a second language needs only a
second catalogue.
"""

from typing import Final

from labkit.text import Words

WORDS: Final = Words("bench")
"""American English, about the eighth grade, in the trade's terms."""
