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
budget-enough = In ten days of mixed skies the herds got all they asked for, in every month.
budget-short = In ten days of mixed skies the herds went short in { $months }.
lacks-storage = In { $months } the line can deliver enough by day. What lacks is storage: the smallest full trough lasts its herd { $days } of a day.
lacks-pumping = In { $months } the line cannot deliver enough in a day: it takes more sun on the pump, a bigger pump, or fewer head.
lacks-control = In { $months } the pump was held off while a trough called: look at the switch and its setting first.
dull-fine = { $count } dull days in a row, with { $light } of a clear day's light, from full troughs: no herd went short.
dull-short = { $count } dull days in a row, with { $light } of a clear day's light, from full troughs: herds went short in { $months }. Worst is { $month }: the first trough ran dry after { $time }, and { $volume } was asked for and not there.
budget-handbook = The handbook's way ({ $hours } peak sun hours at { $flow }) says { $handbook } for { $month }, { $share } { $than } the run.
less = less than
more = more than
rule-of-three = Extension handbooks ask for three days of storage where the sun pumps (NRCS South Dakota, note SD2006-1). The full troughs of this line hold { $days } days in { $month }.
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
dull-spell = { $count } dull days
days = { $days } d
fine = fine
dry-after = dry after { $time }

# the pair of wires

loop-title = Pair of { $gauge }, { $distance } one way, at { $temperature }
loop-works = Out and back it has { $ohms }. The stop input takes up to { $limit } for a closed contact: the pair will do. With { $gauge } it could be { $farthest } long.
loop-fails = Out and back it has { $ohms }. The stop input takes no more than { $limit } for a closed contact: the pair is too long or too thin. With { $gauge } it may be { $farthest } long.
loop-polarity = The two wires are alike: either may go to either terminal.
loop-care = Meter ohms only with the pair lifted off, and never put a voltage on it. Take off what the leads show when touched together.
short-found = The wires touch { $distance } from the controller, through { $ohms }.
loop-where = Meter at
loop-contact = Contact
loop-pair = Pair
loop-shows = Ohmmeter shows
loop-volts = On the terminals
loop-drive = Drive sees
loop-short = The rows of a shorted pair are for a short { $distance } from the controller. With the reading there and that at the switch end, the short is found: half way, plus the difference of the two readings over four times the ohms of each foot of one wire.
controller-end = controller end
switch-end = switch end
switch-end-far-ends-joined = switch end, controller ends twisted together
off-the-pair = taken off
sound = sound
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
path-blocked = Blocked: the ground stands in the line of sight.
path-budget = Distance takes { $free } dB, the ground { $edge } dB; { $margin } dB are left over, { $wanted } wanted.
path-holds = On paper the link holds; try the radios on the spot before anyone digs in a mast.
path-fails = On paper the link does not hold.
path-mast = With the far antenna { $height } higher the path would be clear.

# the three ways to say stop

methods-title = Three ways to say stop at { $title }
what = what
pressure = pressure
wire = wire
radio = radio
works-here = works here
yes = yes
no = no
no-pair = no: the pair to { $trough } has { $ohms }, { $limit } at most
no-path = no: { $margin } dB left over to { $trough }, { $wanted } wanted
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
spills = pump runs on; { $spilled } over the rim
pushes-on = pump pushes on against shut floats for { $dead }
cycles = pump starts { $starts } times
locks-out = drive locks itself out
not-there = -
if = if { $what }:
methods-days = Each line that begins with "if" is a run of two days from full troughs with that one thing wrong, at the far trough where it can be. "As before" means as in the run with nothing wrong.
methods-cheapest = Of those that work here, { $method } costs least: { $price }. Prices are invented round figures: put in your own.
methods-none = None of the three works here.

# choosing among them

stop-prices-title = What each way to say stop costs, by distance
dollars = US dollars (invented round prices)
way-to-far-trough = Pipe to the far trough
money-to-spend = to spend: { $money }
your-line = this line
works = works here
does-not-work = does not work here
stop-price = { $method } { $price }, { $works }
stop-chart = Price of each way to say stop over the distance of the far trough, with this line, { $way } of pipe, marked on each; a cross where it does not work: { $ways }. To spend: { $money }.
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
of-its-own = to be dug: the pipe lies in the ground
money = ${ $money }
weighing-waits = Prices and results come with your predictions.
weighing-path = The radio path to { $trough }
methods-care = With a drive that stops on a closed contact a cut wire and a dead contact look like a trough with room: nothing tells the pump to stop.
methods-care-open = With a drive that stops on an open contact a cut wire stops the pump: the water is safe, the herd is not.
