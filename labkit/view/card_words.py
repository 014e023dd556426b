"""Phrases of the settings card, keyed as in `labkit.text.shared`."""

from typing import TYPE_CHECKING, Final

from labkit.text import Words

if TYPE_CHECKING:
    from labkit.advice.card import Card

CARD_WORDS: Final = Words("card")
"""American English, about the eighth grade, in the trade's terms."""


def card_phrase(card: "Card", key: str) -> str:
    """Return a phrase of a card; a pump on the mains knows neither array nor noon."""
    on_mains = CARD_WORDS.get(f"{key}, mains") if card.site.drive.kind == "mains" else None
    return on_mains or CARD_WORDS[key]
