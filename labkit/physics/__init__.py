"""The line's physics as pure functions of SI floats.

Gauge pressures unless the name ends in `_abs`; heads in metres of water above the manifold.

Symbols, each with one meaning in every function here and in `labkit.engine`:

===========  ==================================================  =========
symbol       meaning                                             unit
===========  ==================================================  =========
A            cross-section of a pipe                             m2
a            speed of a pressure wave                            m/s
C            storage of water per metre of head                  m2
D            inside diameter                                     m
E            Young's modulus of a pipe wall                      Pa
dh           head lost along a run, or across an opening         m
h            head above the manifold                             m
H            head that a pump must make                          m
K            sum of fitting coefficients in K v2/2g              -
k            flow coefficient of an opening, q = k dh**n         m3/s/m**n
L            length of a run                                     m
M            head that changes a flow by one within a stage      s/m2
n            exponent (of an opening, or of the tank's air)      -
nu           kinematic viscosity                                 m2/s
P            shaft power                                         W
p, p_abs     gauge and absolute pressure                         Pa
q, Q         flow; Q is the pump's                               m3/s
rho          density of water                                    kg/m3
s            pump speed as a share of full speed                 -
t, dt        time, length of a step                              s
T            temperature                                         degC
V            volume of water                                     m3
v            velocity                                            m/s
z            elevation above the manifold                        m
===========  ==================================================  =========
"""

from typing import Final

GRAVITY: Final = 9.80665
"""Standard acceleration of free fall [m/s2] (ISO 80000-3)."""

STANDARD_ATMOSPHERE: Final = 101_325.0
"""Air pressure at sea level in the standard atmosphere [Pa] (ISO 2533:1975)."""
