# Advice: tank, budget, wires, radio, stop methods.

# the water budget

budget-title = Water each day through the year ({ $unit })
needed = what the herds drink
needed-and-air = what herds and air take
able = what the line delivers (mixed skies)
skies = from an overcast day to a clear one
handbook = handbook: peak sun hours times full-sun flow
short-of-storage = short of{ "\u000A" }storage
short-of-control = held{ "\u000A" }off
short-of-pumping = short of{ "\u000A" }pumping
budget-tightest = Tightest month: { $month }. It takes { $needed }; the line delivers { $able } on a day of mixed skies, { $ratio } times that.
budget-enough = In ten days of mixed skies the herds got all they needed, in every month.
budget-short = In ten days of mixed skies the herds went short in { $months }.
lacks-storage = In { $months } the line can deliver enough by day. The shortage is storage: the smallest trough, full, lasts its herd { $days } of a day.
lacks-pumping = In { $months } the line can't deliver enough in a day: it takes more panels, a bigger pump, or fewer head.
lacks-control = In { $months } the pump was held off while a trough called: look at the switch and its setting first.
dull-fine = { $count } cloudy days in a row, with { $light } of a clear day's light, from full troughs: no herd went short.
dull-short = { $count } cloudy days in a row, with { $light } of a clear day's light, from full troughs: herds went short in { $months }. Worst is { $month }: the first trough ran dry after { $time }, and the herd came up { $volume } short.
budget-handbook = The handbook's way ({ $hours } peak sun hours at { $flow }) says { $handbook } for { $month }, { $share } { $than } the run.
less = less than
more = more than
rule-of-three = Extension handbooks call for three days of storage where the sun pumps (NRCS South Dakota, note SD2006-1). The full troughs of this line hold { $days } days in { $month }.
every-month = every month
month = month
air-temperature = mean air
takes = takes
delivers = delivers
clear-day = clear day
overcast-day = overcast
by-handbook = handbook
herds-got = herds got
storage = storage
dull-spell = { $count } cloudy days
days = { $days } d
fine = fine
dry-after = dry after { $time }

# the pair of wires

loop-title = Pair of { $gauge }, { $distance } one way, at { $temperature }
loop-works = Out and back it has { $ohms }. The stop input reads up to { $limit } as a closed contact: the pair will work. With { $gauge } it could be { $farthest } long.
loop-fails = Out and back it has { $ohms }. The stop input reads no more than { $limit } as a closed contact: the pair is too long or too thin. With { $gauge } it may be { $farthest } long.
loop-polarity = The two wires are alike: either may go to either terminal.
loop-care = Meter ohms only with the pair disconnected, and never put a voltage on it. Subtract what the leads show when touched together.
short-found = The wires touch { $distance } from the controller, through { $ohms }.
loop-where = Meter at
loop-contact = Contact
loop-pair = Pair
loop-shows = Ohmmeter shows
loop-volts = On the terminals
loop-drive = Controller sees
loop-short = The rows of a shorted pair are for a short { $distance } from the controller. Distance to the short = half the run + (controller reading − switch reading) ÷ (4 × ohms per foot of one wire).
controller-end = controller end
switch-end = switch end
switch-end-far-ends-joined = switch end, controller ends twisted together
off-the-pair = taken off
sound = good
cut = cut
shorted = chewed together

# the radio path

path-title = The radio path: height ({ $unit })
path-distance = Distance from the well ({ $unit })
ray = straight line between the antennas
fresnel = first Fresnel zone
fresnel-kept = six tenths of it, to be kept free
path-well = well
path-trough = trough
path-worst = tightest place
path-clear = Clear: more than six tenths of the Fresnel zone is free everywhere.
path-brushing = Brushing: the antennas see each other, but the ground reaches into the six tenths of the Fresnel zone that should be free.
path-blocked = Blocked: the ground is in the line of sight.
path-budget = Distance takes { $free } dB, the ground { $edge } dB; { $margin } dB are left over, { $wanted } needed.
path-holds = On paper the link holds; try the radios on the spot before anybody sets a mast.
path-fails = On paper the link does not hold.
path-mast = With the far antenna { $height } higher the path would be clear.

# the three ways to say stop

methods-title = Three ways to send the stop signal at { $title }
what = what
pressure = pressure
wire = wire
radio = radio
works-here = works here
yes = yes
no = no
no-pair = no: the pair to { $trough } has { $ohms }, { $limit } at most
no-path = no: { $margin } dB left over to { $trough }, { $wanted } needed
no-run = no: { $outcome }
no-judged = no: { $what }
no-window = no: no setting works in weak and strong sun
set-to = best setting (cut-in, cut-out)
points = { $cut_in }, { $cut_out }
as-it-stands = as set now, in weak to strong sun
sensors = sensors for { $troughs } troughs
sensors-for-one = sensors for 1 trough
price = price (invented round figures)
as-before = goes on as before
stays-off = pump stays off; herds short of { $short }
stays-off-so-far = pump stays off; the troughs last the two days
herd-short = herds short of { $short }
spills = pump keeps running; { $spilled } over the rim
pushes-on = pump keeps running against closed floats for { $dead }
cycles = pump starts { $starts } times
locks-out = controller locks itself out
not-there = -
if = if { $what }:
methods-days = Each line that begins with "if" is a run of two days from full troughs with that one thing wrong, at the far trough where it can be. "As before" means as in the run with nothing wrong.
methods-cheapest = Of those that work here, { $method } costs least: { $price }. Prices are invented round figures: put in your own.
methods-none = None of the three works here.
methods-idle = With { $ways }, no trough calls for water in these two days, so the lines that begin with "if" show little there. Say what stock drink from it.

# choosing among them

stop-prices-title = What each stop signal costs, by distance
dollars = US dollars (invented round prices)
way-to-far-trough = Pipe to the far trough
money-to-spend = to spend: { $money }
your-line = this line
works = works here
does-not-work = doesn't work here
stop-price = { $method } { $price }, { $works }
stop-chart = Price of each stop signal over the distance of the far trough, with this line, { $way } of pipe, marked on each; a cross where it doesn't work: { $ways }. To spend: { $money }.
stop-works = Works here: { $ways }.
stop-works-not = Not here: { $ways }.
stop-one = { $method } { $price }
stop-within = Within { $money } the cheapest is { $method }.
stop-none-within = None of them stays within { $money }.
troughs-control = Troughs on the line
between-control = Between well and far trough
trench-control = Trench for a pair
money-control = To spend
with-the-pipe = open: the pipe is being laid
of-its-own = to be dug: the pipe is in the ground
money = ${ $money }
weighing-waits = Make your predictions and prices and results show up here.
weighing-path = The radio path to { $trough }
methods-care = With a controller that stops on a closed contact, a cut wire or a dead contact reads like a trough that still needs water: nothing stops the pump.
methods-care-open = With a controller that stops on an open contact, a cut wire stops the pump: no water is wasted, but the herd goes short.
sun-of-days = a clear day and { $count } cloudy ones, { $date }

# What can fail, after "if"; and the skies that a way is tried under.
failure-float-leaks = float leaks
failure-float-stuck-open = float stuck open
failure-wire-cut = wire cut
failure-wires-chewed-together = wires chewed together
failure-contact-stuck-open = contact stuck open
failure-contact-stuck-closed = contact stuck closed
failure-switch-nipple-plugged = switch nipple plugged
failure-radio-dead-set-to-stop = radio dead, set to stop
failure-radio-dead-set-to-run = radio dead, set to run
failure-half-of-the-reports-lost = half of the reports lost
failure-passing-clouds = passing clouds
failure-two-cloudy-days = two cloudy days

# What a meter shows, and what the controller takes it for.
meter-open-line = open line
meter-ohms = { $ohms } ohms
sees-open = open
sees-closed = closed
sees-in-between = in between
