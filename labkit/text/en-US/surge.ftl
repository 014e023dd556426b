# A pressure wave, told and drawn.

# what happens

valve-shuts = The float valve at { $trough } closes in { $time }.
valve-shuts-at-once = The float valve at { $trough } closes at once.
valve-shuts-by-its-float = The float valve at { $trough } closes as the trough fills.
pump-trips = The controller gets a stop signal and ramps the pump down.
power-fails = The power fails and the pump stops.

# what it does

jump = The pressure at { $place } goes from { $before } up to { $peak }.
fall = The pressure at { $place } goes from { $before } down to { $low }.
highest = The highest pressure on the line, { $pressure }, comes { $where }.
highest-low-down = The highest pressure on the line, { $pressure }, comes { $where }: { $column } of it is static head from the gauge down, { $depth } of water.
margin = { $pipe } is nearest to its rating: { $margin } left of { $rating } ({ $size }).
over = { $pipe } is over its rating of { $rating } by { $margin } ({ $size }).
arrival = The wave needs { $time } to the switch
born-there = The wave starts at the switch
trips = , which trips after { $time }.
trips-later = . It doesn't trip yet; but the pump keeps running, with nowhere to send its water, until the switch trips after { $time }.
trips-into-tank = . It doesn't trip yet; but the pump keeps running, into the tank, until the switch trips after { $time }.
trips-early = , which trips after { $time }. That stop comes too soon: if the pump had kept running, it would be only { $settled } there once all is calm.
no-trip = , which doesn't trip.
hard = { $pipe } works at { $share } of its rating even without a wave. The rule of thumb is { $limit } at most.
pipe = The pipe to { $node }
drop-pipe = The drop pipe
suction = The lowest, { $pressure }, comes { $where }{ $seen }: the line is under vacuum.
off-the-map = , which is off the map
boils = There the water boils and comes apart: so far below the air outside even cold water turns to vapor. A hollow opens; when the water closes it, that is one more hammer blow.
returned = { $volume } of water runs back through the check valve.
locked = The pump locks itself out after { $time }.

# where

at = at { $node }
between = { $distance } from the manifold on the pipe to { $node }
manifold = the manifold
pump-in-the-well = the pump

# panels

picture = Three panels: a map of how the pressure along the line changes with time, with the path of the first wave; how high and how low the water would climb in an open hose; and the pressure at two places over time.
map-title = How far the pressure has changed ({ $unit })
place-pump = pump
place-switch = switch
place-valve = valve at { $trough }
place-trough = { $trough }
valve-is-shut = { $time }: valve closed
wave-at-switch = { $time }: the wave reaches the switch
wave-back-at-valve = { $time }: it is back at the valve
wave-at-trough = { $time }: the wave reaches { $trough }
wave-back-at-switch = { $time }: it is back at the switch
bar-higher = higher
bar-lower = lower (dotted)
bar-not-lower = as before
bar-as-before = 0: before
envelope-title = How high the water would climb in an open hose ({ $unit })
distance-title = Distance along the pipe to { $trough } ({ $unit })
history-title = Pressure over time ({ $unit })
time-title = Time from the start ({ $unit })
steady = before
highest-line = highest
lowest-line = lowest
ground = ground
rating = pipe rating
vapour = boils below this
switch = at the switch
valve = at { $trough }
cut-out = cut-out { $pressure }

# What a run of the wave can't tell exactly.
flag-boiled = Somewhere the pressure fell to where water boils. Heads are held there, and the jump when such a pocket closes again is only a rough guess.
flag-aired = Somewhere the pressure fell to that of the air, which a vent lets in. Heads are held there, and the jump when such a pocket closes again is only a rough guess.
flag-stopped = The torque limit or low water stopped the pump within the event.
flag-uncut = The run to { $where } is too short to be cut, so its two ends were taken as one.
flag-stretched = To cut the run to { $where } whole, its wave speed was changed by { $share }.
