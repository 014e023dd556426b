"""Customary units and spans of time in SI, for code that computes in plain numbers.

Exact by definition: an inch is 25.4 mm, a US gallon 231 cubic inches, a pound 0.45359237 kg at
9.80665 m/s2.
"""

from typing import Final

INCH: Final = 0.0254
FOOT: Final = 0.3048
PSI: Final = 6894.757293168361
GALLON: Final = 3.785411784e-3
GPM: Final = GALLON / 60.0

MINUTE: Final = 60.0
HOUR: Final = 3600.0
DAY: Final = 86_400.0
