"""``python -m labkit.cli``, where the command itself may not be on the path."""

import sys

from labkit.cli import main

sys.exit(main())
