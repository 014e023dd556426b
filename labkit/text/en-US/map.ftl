# The map of settings.

title = { $site }: what each setting comes to
trial = Each cell is a trial: { $trough } fills, its float valve closes, stock drink, and it fills again. A setting past one of the lines is refused without one. { $count } cells{ $sun }{ $tank }.
one-trough = the trough { $name }
each-trough = each trough by itself
share = { $share }
trifle = under 1%
at-sun = { " " }in sun of { $sun }
recharged = , the tank charged 2 psi below each cut-in

# axes, as titles and in a sentence

sun = Sun on the array ({ $unit })
cut-out = Cut-out ({ $unit })
cut-in = Cut-in ({ $unit })
differential = Differential: cut-out minus cut-in ({ $unit })
rise = Rise of the pipe to { $trough } ({ $unit })
pipe-length = Length of the pipe to { $trough } ({ $unit })
float-leak = Leak past the shut float, stated at { $leak_pressure } ({ $unit })
line-leak = Leak in the line, stated at { $leak_pressure } ({ $unit })
tank = Size of the pressure tank ({ $unit })
array = Rated power of the array ({ $unit })
named-sun = sun of
named-rise = a rise of
named-pipe-length = a pipe of
named-float-leak = a float leak of
named-line-leak = a line leak of
named-tank = a tank of
named-array = an array of

# verdicts

sound-stop = it fills, stops and restarts.
sucked-empty = the line runs empty.
false-stop = it stops while the trough is still filling.
no-stop = the trough is full and the pump keeps running.
stuck-off = stock drink, and the pump does not start.
cycling = it starts too often, or with nothing drinking.
safety-stop = the controller locks out.
over-pressure = over a limit of pipe, float or relief.
still-filling = the trough was not full in time.
at-rest = not enough sun for the pump.
no-such-setting = cut-in over cut-out, or a part out of its range.
not-run = the run could not be finished.
recommended = recommended cut-out

# in a sentence

counted = Of { $all } cells { $parts }.
part = { $count } come to “{ $verdict }”
more-parts = { $count } to “{ $verdict }”
one-sound = With { $up }: a good stop at { $across } { $low } alone
sound = With { $up }: a good stop from { $across } { $low } to { $high }
none-sound = With { $up }: no good stop anywhere
picture = Map of settings: { $across } from { $left } to { $right } across, { $up } from { $low } to { $high } up.

# the window's bounds

static = pressure at rest
running = running pressure
dead-head = deadhead pressure
ceiling = limit of pipe, float or relief
bounds = The lines are settled limits, the same as in the window: the running pressure is taken with the float nearly shut, where it is highest.
