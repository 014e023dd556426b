"""What the page for one's own site says, and the site file that it begins with."""

from typing import Final

from labkit.text import Words, page

EXAMPLE: Final = page("my_ranch.toml")
"""An invented ranch with a note beside each thing that people ask about."""

OWN_WORDS: Final = Words("own")
"""Phrases of the page for one's own site, keyed as in `labkit.text.shared`."""
