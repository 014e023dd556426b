"""The sun on the array: constant, a clear day, a day of passing clouds, a measured day.

A `Sun` is a line drawn through points: irradiance on the array's plane and air temperature against
time. Everything astronomical (sun position, clear sky, splitting a global reading into beam and
diffuse, turning both to the array's plane) is done by pvlib, which is imported only when a day is
asked for, since that takes seconds.
"""

from labkit.sun.curve import Sun, array_power, as_sun, clock_seconds, constant
from labkit.sun.measured import measured, measured_day
from labkit.sun.sky import clear_day, cloudy_day
