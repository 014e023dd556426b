# The home page and the pages behind its doors. The page itself, and the one for a class, are pages/*.html.

home = Home
kept = What you answered is kept in { $file }.
answered = { $count } answered, { $day }
teach = Teach a class
lesson = Lesson { $number }: { $name }

# What the recorded hour shows, from each event on.
tells-at-first = the trough fills, and the gauge holds steady.
tells-float-shuts = the float valve closes. The water has nowhere to go, and the pressure climbs.
tells-switch-trips = at cut-out the switch trips, and the pump ramps down.
tells-float-opens = cattle drink: the float valve opens, and the pressure falls.
tells-pump-starts = at cut-in the pump restarts.

# Something's wrong with my line.
wrong = Something's wrong with my line
wrong-waits = The checks are being worked out.
wrong-intro = Pick what you see. The checks come in the order that tells most for your time. The readings are those of a sample line. Compare them with what yours reads when it works.
wrong-first = Before anything else:
wrong-caution = Panels are live in daylight. Bleed pressure to zero before you open anything. Leave wiring to a licensed electrician and the well to a licensed pump installer.
wrong-order = Check in this order
wrong-causes = What it can be
check-minutes = (about { $minutes } min)
check-good = A good line: { $reading }
check-open = Still open: { $faults }.
check-points = Points to: { $faults }.
list-last = { $all } or { $last }
the-trough = the trough
one-inch = one inch
symptom-stop = The pump won't stop
symptom-start = The pump won't start, or won't restart
symptom-cycles = It starts every few minutes
symptom-soon = It stops too soon, before the trough is full
symptom-drip = The float drips: water runs into a full trough
symptom-falls = The gauge falls while nothing runs
symptom-over = The trough runs over
symptom-haze = It stops in full sun, but not in haze
symptom-slow = The trough fills slowly
symptom-off = The controller shuts the pump off by itself
symptom-gauge = The gauge doesn't move
