# What the one judge found: headlines, and one sentence of cause.

headline-sound-stop = Good stop
headline-sucked-empty = Sucked empty
headline-false-stop = Stops too soon
headline-no-stop = Won't stop
headline-stuck-off = Won't restart
headline-cycling = Short-cycles
headline-safety-stop = Locked out
headline-over-pressure = Too much pressure
headline-still-filling = Still filling
headline-at-rest = Never starts

# settled limits

cause-static = With the pump off the pressure never falls to cut-in, because of the static head of { $where }.
cause-running = The pressure reaches cut-out while { $where } is still filling{ $sun }.
cause-dead-head = With every float valve closed the pressure never reaches cut-out{ $sun }; strong sun alone proves nothing.
cause-torque-limit = The controller locks out before the pressure reaches cut-out{ $sun }.
cause-pipe-rating = The stop pushes the pipe to { $where } over 72% of its rating{ $sun }.
cause-float-holds = The stop forces the float valve at { $where } open{ $sun }.
cause-relief-valve = The stop opens the relief valve{ $sun }.

# runs

run-sucked-empty = As { $where } fills and drains{ $sun }, the line is under vacuum somewhere and runs empty: a real one draws in air there, and dirty water at any leak.
run-false-stop = The pump stops while { $where } is still filling{ $sun }.
run-no-stop = The pump keeps running after { $where } is full{ $sun }.
run-stuck-off = Stock drink { $where } down, and the pump does not restart{ $sun }.
run-too-often = The pump starts up to { $starts } times an hour as { $where } tops up{ $sun }; the motor can take about { $most }.
run-unasked = With every float valve closed the pump restarts by itself again and again{ $sun }: something leaks.
run-safety-stop = The controller locks out as { $where } fills{ $sun }.
run-still-filling = { $where } is not full after ten hours{ $sun }.
run-at-rest = There is not enough sun for the pump to start.

in-sun = { " " }in sun of { $sun }
