"""A bar that fills while something long is worked out, in a notebook."""

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from IPython.display import display


class ProgressBar:
    """A bar to hand over as ``progress``; it shows itself, and goes when all is done."""

    def __init__(self, words: str = "Working …") -> None:
        self.bar = W.FloatProgress(
            value=0.0, min=0.0, max=1.0, description=words,
            style={"description_width": "initial"}, layout=W.Layout(width="70%"),
        )  # fmt: skip
        display(self.bar)  # type: ignore[no-untyped-call]

    def __call__(self, share: float) -> None:
        """Fill the bar up to a share, 0 to 1."""
        self.bar.value = share
        if share >= 1.0:
            self.close()

    def close(self) -> None:
        """Take the bar away."""
        self.bar.close()
