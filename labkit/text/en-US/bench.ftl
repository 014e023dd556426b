# Pictures, benches and pages: what they say of a run.

# numbers

not-known = not known
noon = noon
midnight = midnight
am = { $time } am
pm = { $time } pm
later-day = day { $day }, { $time }
night = night

# the sentence

period = In { $time }{ " " }
no-start = the pump did not start
one-start = the pump started once
two-starts = the pump started twice
many-starts = the pump started { $count } times
shortest-run = shortest run { $time }, until the pump stopped
highest-pressure = highest pressure { $pressure }

# verdicts

safety-stop = Locked out: the controller locked itself out to save the pump.
stuck-off = Won't restart: a trough called for water, but the pressure never fell to cut-in.
no-stop = Won't stop: every float valve was closed and the pump kept running, but the pressure never reached cut-out.
false-stop = Stops too soon: the pressure reached cut-out while a float valve was still wide open.
cycling = Short-cycles: with every float valve closed the pump stopped and restarted again and again.
cycling-open = Short-cycles: the pump stopped and restarted again and again while a float valve was partly open.
sucked-empty = Sucked empty: the pump stopped, but somewhere the line was under vacuum and ran empty. A real one draws in air there, and dirty water at any leak.
sound-stop = Good stop: the float valves closed, the pressure rose to cut-out, and the pump stopped.
still-filling = Still filling: the pump got no stop signal before the run ended.
still-climbing = Still climbing: every float valve is closed and the pump keeps running, but the pressure had not reached cut-out when the run ended.
at-rest = At rest: nothing called for the pump.

# more precise ones

no-stop-over = Won't stop: the pump kept running while water ran over the rim of a trough; the pressure never reached cut-out.
no-stop-unheard = Won't stop: the switch tripped at cut-out, but the controller got no stop signal.
stuck-off-unheard = Won't restart: a trough called for water and the pressure was low, but the controller had a stop signal.

# the same where the drive listens to a level sensor

stuck-off-by-level = Won't restart: a trough called for water, but the controller had a stop signal.
no-stop-by-level = Won't stop: no trough could take more water, and the pump kept running with no stop signal.
false-stop-by-level = Stops too soon: the controller got a stop signal while a trough still called for water.
cycling-by-level = Short-cycles: no trough called for water, yet the pump stopped and restarted again and again.
sound-stop-by-level = Good stop: no trough called for water any more and the pump stopped.

# flags

flag-suction = Somewhere the line was sucked empty: a real one would draw in air there, and run differently until it is pushed out again.
flag-velocity = The water to { $where } reached { $value }; more than { $limit } is a common design limit.
flag-pressure = The pipe to { $where } had to hold { $value }; at this water temperature it is rated for { $limit }.
flag-drop-pipe = The drop pipe in the well had to hold { $value }; at this water temperature it is rated for { $limit }.
flag-cut-short = The pump starts so often that this run was ended at { $value }: each start is like the last.
flag-starts = The motor started { $value } times within an hour; its limit is about { $limit } (common practice unless the site file says; the motor's own plate or manual rules).

# panels

pressure-title = Pressure at the switch ({ $unit })
flow-title = Flow ({ $unit })
level-title = Water in the troughs ({ $unit })
line-title = The line: height above the manifold ({ $unit })
distance-title = Distance along the pipe ({ $unit })
time-title = Time from the start ({ $unit })
clock-title = Time of day
cut-out = cut-out { $pressure }{ "\u000A" }({ $height } of water)
cut-in = cut-in { $pressure }{ "\u000A" }({ $height } of water)
pump = pump
into-troughs = troughs
leak = leak
sun = sun
drive = control
contact = contact
closed = closed
open = open
mixed = on and off
full = full

# the line

grade-line = grade line
dry = no water here
manifold = manifold
well = well: water { $depth } down
float-shut = float shut
taking = taking { $flow }

# the moment

moment = At { $clock }, { $time } into the run
moment-pressure = Pressure { $pressure }, the weight of { $height } of water
moment-drive = Controller { $state } at { $share } of full speed, contact { $contact }
trough-filling = { $name }: { $level }, float valve open, taking { $flow }
trough-shut = { $name }: { $level }, float valve closed
trough-held-open = { $name }: { $level }, valve held open, taking { $flow }
trough-held-shut = { $name }: { $level }, valve held shut
trough-dripping = { $name }: { $level }, float valve closed but letting { $flow } by
trough-closing = { $name }: { $level }, float valve almost closed, still taking { $flow }

# the bench

moment-slider = Moment of the run
play = Play
pause = Pause
speed = Speed
zoom-in = Look closer
zoom-out = Look at more
controls = What you can turn
in-picture = in the picture
type-a-value = { $name }, type a value
caution = Caution:
not-in-range = { $name }: “{ $text }” doesn't fit; write a number from { $low } to { $high }, in { $unit }
reset = Reset
reset-done = Back to the start of the bench.{ " " }
less = A step less: { $name }
more = A step more: { $name }
units = Units
US = US
metric = Metric
preparing = Preparing the engine (first start only) …
problem = This setting can't be run: { $what }
closed-bench = this bench is no longer on the page
kept = { " " }The picture still shows the last good run.
unexpected = something went wrong inside ({ $what }). Press Reset; if it happens again, restart the lesson.
picture = Pressure trace and drawing of the line
question = Question:{ " " }
locked = Make your prediction first; then the sliders unlock.
page-locked = Make your predictions first; then you can start here.
so-far = This shows the first { $seen } of { $whole }. Make your predictions to see the rest.
so-far-predicted = This shows the first { $seen } of { $whole }. You can see the rest further down.

# controls

irradiance = Sun on the array
head = Rise to the far trough
switch-differential = Switch differential
leak-size = Line leak at { $pressure }
cut-out-control = Cut-out
cut-in-control = Cut-in
tank-volume = Pressure tank
float-leak = Float leak at { $pressure }
check-valve-leak = Check-valve leak at { $pressure }
pipe-length = Pipe to the far trough
haze = Sunlight lost to haze
lift = Depth to the water
pump-kind = Pump
centrifugal = centrifugal
positive-displacement = positive displacement
pipe-size = Pipe size
where-stock-drink = Where stock drink
height-of = Height of { $trough }
crest-before = Crest on the way to { $trough }
pipe-to = Pipe to { $trough }
float-at = Float valve at { $trough }
range-screw = Range nut, loosened
differential-nut = Differential nut, tightened
action = The switch
drive-kind = The controller
drive-solar = solar: stops on a closed contact
drive-mains = grid-powered: stops on an open contact
gauge-of-pair = Wire
pair-length = Switch to controller
wire-fault = Fault
fault-none = none
fault-cut = a wire is cut
fault-shorted = the wires touch
fault-stuck-open = contact stuck open
fault-stuck-closed = contact stuck closed
precharge = Tank's precharge
float-band = Float band
drinking-rate = Drinking rate
pipe-material = Pipe
herd = Herd at the far trough
trough-volume = The far trough holds
clouds = Light lost to clouds
month = Month
restart-delay = Restart delay
sky = Days
sky-computed = computed: clear, then cloudy
sky-tucson = measured: Tucson, clear, October
sky-alamosa = measured: Alamosa, clear, January
sky-boulder = measured: Boulder, broken clouds, October
closing-time = Valve closes within
surge-waits = Make your predictions and the picture of the wave shows up here.

# what happened

pump-starts = pump starts
pump-stops = pump stops
drive-told-to-stop = stop signal reaches the controller
switch-trips = switch trips at cut-out
switch-resets = switch resets at cut-in
float-shuts = float valve at { $where } closes
float-opens = float valve at { $where } opens
drive-rests = sun too weak, controller waits
drive-wakes = sun strong enough, controller wakes
low-water = well drawn down to the pump, controller locks out
torque-limit = pump needs too much torque, controller locks out
trough-empty = { $where } runs empty
trough-overflows = { $where } runs over
suction = line under vacuum at { $where }
sensor-says-full = level sensor at { $where } reads full
sensor-says-room = level sensor at { $where } reads room
radio-falls-silent = radio at { $where } has gone silent
radio-is-heard-again = radio at { $where } works again

# questions

percent = { $share }%
column-rule = { $pressure } is the weight of { $height } of water
check = Check answer
keep = Lock in prediction
predicted = Locked in: { $answer }. It shows again below, next to what the run did.
right = Right.
not-yet = Not yet.
unread = I couldn't read that.
you-said = You said
run-showed = The run showed
no-prediction = *(no prediction yet)*
same = Same. You called it.
near = Near enough. You called it.
differs = They differ. Good, that's worth knowing. The explanation below shows why.
not-shown = *(shows up with your prediction)*
told-wrongly = <b>This text can't be shown.</b> { $mistake }. Change the cell and run it again; the rest of the page is as it was.
explanation-waits = *(Make your predictions and the explanation shows up here.)*
chart-waits = *(Make your predictions and a picture that follows your sliders shows up here.)*
learner = My number
deal = Set up my line

# the trainer's page

key-title = Key · { $page }
key-caution = **For the trainer.** These are the answers: don't leave them at the printer.
key-number = Number { $number }
plan-answers = Answers, worked out by the lesson
plan-question = Question
plan-right = Right
plan-wrong = A known slip gives
plan-predict = *Predict:*{ " " }

# drills

drill-number = My number
drill-wait = Working it out, a few seconds …
score = { $right } of { $all } right so far.
keeps = Your answers are kept in { $file }, beside the lessons.
recalled = You said on { $day }: { $answer }.
recalled-wrong = You said on { $day }: { $answer }. Not yet right; try again.
predicted-before = You said on { $day }: { $answer }. It shows again below, next to what the run did.
as-left = The settings are as you left them. Reset bench puts them back.
start-over = Start over
really = Forget my answers and settings on this page
begun-anew = Starting over …
over-an-hour = over an hour
at-once = at once
in-about = in about { $time }
