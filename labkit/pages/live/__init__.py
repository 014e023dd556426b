"""The bench in the page: one widget that paints a scene and sends back what people turn.

The scripts stand beside this file as they are served: joined in order, without a build step.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import anywidget
import traitlets
from typing_extensions import override

_HERE: Final = Path(__file__).parent
_SCRIPTS: Final = ("scene.js", "pen.js", "picture.js", "moving.js", "controls.js", "bench.js")


def _text(shown: dict[str, Any], _widget: object = None) -> str:
    """Return what is shown as one text.

    Part by part, every list would be looked through for bytes before each message.
    """
    return json.dumps(shown, allow_nan=False, default=float)  # numpy's numbers too


def _packed(scene: dict[str, Any], _widget: object) -> dict[str, Any]:
    return {"text": _text({**scene, "data": None}), "data": scene["data"]} if scene else {}


class LiveBench(anywidget.AnyWidget):
    """Sliders and a picture in one, and what stands in its place on paper."""

    _esm = "\n".join((_HERE / name).read_text(encoding="utf-8") for name in _SCRIPTS)
    _css = (_HERE / "bench.css").read_text(encoding="utf-8")

    frame = traitlets.Dict().tag(sync=True)  # what stays: labels, the question, how things look
    # what is shown now: rows and words; the scene, whose numbers over time come as bytes; charts as
    # HTML. What did not change is not sent again
    show = traitlets.Dict().tag(sync=True, to_json=_text)
    scene = traitlets.Dict().tag(sync=True, to_json=_packed)
    pictures = traitlets.Unicode().tag(sync=True)

    def __init__(
        self,
        frame: dict[str, Any],
        *,
        heard: Callable[[dict[str, Any]], None],
        on_paper: Callable[[], str],
    ) -> None:
        super().__init__(frame=frame)
        self._on_paper, self.is_screen_only = on_paper, False
        self.on_msg(lambda _widget, content, _buffers: heard(content))

    @override
    def _repr_mimebundle_(self, **options: Any) -> Any:
        """Return the live view, and the paper's HTML for whoever cannot show that."""
        found = super()._repr_mimebundle_(**options)
        if found is None or self.is_screen_only:
            return found
        data, metadata = found
        return {**data, "text/html": self._on_paper()}, metadata
