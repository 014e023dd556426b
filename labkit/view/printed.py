"""Widgets that leave something on paper: a handout has no kernel to bring them to life."""

from collections.abc import Callable
from typing import Any

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from typing_extensions import override


class Printed(W.VBox):  # type: ignore[misc]  # widgets have no types
    """A box of widgets, and the HTML that stands in its place on paper."""

    def __init__(self, children: list[Any], *, on_paper: Callable[[], str]) -> None:
        super().__init__(children)
        self._on_paper = on_paper

    @override
    def _repr_mimebundle_(self, **options: Any) -> dict[str, Any]:
        """Give the live view, and the paper's HTML for whoever cannot show that."""
        bundle: dict[str, Any] = super()._repr_mimebundle_(**options)
        return {**bundle, "text/html": self._on_paper()}
