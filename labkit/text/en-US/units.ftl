# What a unit measures.

kind-pressure = a pressure
kind-length = a length
kind-flow = a flow
kind-volume = a volume
kind-power = a power
kind-irradiance = an irradiance
kind-temperature = a temperature
kind-time = a time
kind-angle = an angle
kind-turns = a number of turns
kind-drawdown = a depth for each flow
kind-velocity = a velocity
kind-evaporation = a depth a day
kind-resistance = a resistance
kind-voltage = a voltage
kind-frequency = a frequency
kind-area = an area
kind-share = a share

# What may stand in place of a word.
nearest = a known word, of which the nearest is { $near }
