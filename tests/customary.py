"""US customary units as plain SI numbers, exact by definition (NIST SP 811, appendix B)."""

from typing import Final

INCH: Final = 0.0254
FOOT: Final = 12.0 * INCH
POUND: Final = 0.45359237
PSI: Final = POUND * 9.80665 / INCH**2
GALLON: Final = 231.0 * INCH**3
GPM: Final = GALLON / 60.0
HORSEPOWER: Final = 550.0 * FOOT * POUND * 9.80665
DAY: Final = 86_400.0
