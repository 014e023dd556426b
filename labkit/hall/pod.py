"""A learner's server in a container of its own, as a county's JupyterHub starts it.

Started as ``python -m labkit.hall.pod``, in the image of ``county/Containerfile``. Nobody else is
in the container, so its kernels begin as usual and not as copies.
"""

import os
import sys
from pathlib import Path

from labkit.hall.home import furnish
from labkit.hall.spawner import learner_options


def main() -> None:
    """Lay the lessons in the home, which is a disk of the learner's, and serve them."""
    from jupyterhub.singleuser.extension import main as serve  # noqa: PLC0415 - reads variables

    home = Path(os.environ["HOME"])
    furnish(home)
    sys.argv = ["labkit-server", *learner_options(home, copied=False), *sys.argv[1:]]
    serve()


if __name__ == "__main__":
    main()
