"""What can be touched in the field: one small frozen class for each thing."""

from labkit.parts.controls import CheckValve, PressureSwitch, PressureTank, ReliefValve
from labkit.parts.line import MANIFOLD, FloatValve, Herd, Leak, Pipe, Trough
from labkit.parts.pumping import CentrifugalPump, DisplacementPump, Pump
from labkit.parts.signals import LevelSensor, RadioLink, SignalPair
from labkit.parts.stop_input import StopInput
from labkit.parts.supply import Array, Drive, Place, Well
