"""The ranch of the views, for their scenes."""

from tests.view.conftest import ranch

__all__ = ["ranch"]
