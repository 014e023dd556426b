"""Widgets that leave something on paper: a handout has no kernel to bring them to life."""

from collections.abc import Callable
from typing import Any

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from typing_extensions import override


class PrintableBox(W.VBox):  # type: ignore[misc]  # widgets have no types
    """A box of widgets, and the HTML that stands in its place on paper.

    The HTML is not made while it `is_screen_only`, with nobody asking for paper.
    """

    def __init__(self, children: list[Any], *, on_paper: Callable[[], str]) -> None:
        super().__init__(children)
        self._on_paper, self.is_screen_only = on_paper, False

    @override
    def _repr_mimebundle_(self, **options: Any) -> dict[str, Any]:
        """Return the live view, and the paper's HTML for whoever cannot show that."""
        bundle: dict[str, Any] = super()._repr_mimebundle_(**options)
        return bundle if self.is_screen_only else {**bundle, "text/html": self._on_paper()}
