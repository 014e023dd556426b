# What `labkit run` prints of a run.

sun = sun
from = from
when = { $clock }, for { $time }
starts = starts
stops = stops
counted-stops = { $stops }, of which too soon { $false }
shortest-run = shortest run
peak-pressure = peak pressure
pumped = pumped
delivered = delivered
drunk = drunk
unmet = short
leaked = leaked
overflowed = overflowed
evaporated = evaporated
balance-error = balance error
balance = { $volume } ({ $share } of pumped)
verdict = verdict
note = Note: { $what }
