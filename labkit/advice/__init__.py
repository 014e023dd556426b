"""What to do about a line: where its switch must stand, how big its tank must be.

Everything here is worked out from the engine's steady residual and short runs of it; words and
pictures are made elsewhere.

Why it is so
------------
* A promise that is not recomputed is a guess: each remedy is tried by the judge on the changed
  site, and a card that its own runs do not bear out is refused. Failures of a stop method and the
  signs on a card are runs too, held beside a run with nothing wrong.
* A cell of a map is a plain `simulate` of a changed site: a kept plant would be a second truth, and
  making it takes under a tenth of a trial. Maps run on threads, since a process costs seconds to
  start and can be orphaned; an executor or a dask client can be handed in.
* A setting that is only tried is given up at the first run that speaks against it; all that speaks
  against the best one is found when somebody asks.
* A line that leaks starts again and again, each start like the last: a trial leaves those out once
  that shows, and counts them (`repeats`).
* Settings are whole psi, told with how far off still counts as right: no gauge shows tenths.
* The card waits as long as the judge does, and for as long on top as the pump takes to fill pipe
  that drained behind a crest: the judge's trough may be too small to drain it.
* What a day can deliver is a run with troughs that never fill, beside the handbook's sun hours.
* The static limit is the highest ground between well and trough, as if air were let in there: in
  time every line takes in air.

What it leaves out
------------------
* The judge's stock drink their fill in two minutes and go. Those that drink on, one after another,
  start almost any pump with a small tank more often than its motor stands: how often, and what tank
  helps, is told beside the setting (`drinking`), since how long they stay is theirs.
* The judge's runs are three suns and one trough at a time; what shows only between those suns, or
  with several floats throttling at once, is not seen.
* The static limit is that of resting water. On a long line moving water dips under it by
  `Bound.sure` while stock drink their trough's worth in two minutes; faster, a little further.
* A leak at the well draws the gauge under the static limit in time, so that a pump set lower comes
  back after all, if late. The limit is told as if nothing leaked: the leak may be mended.
* A bigger tank may shorten the cycle of a line in pieces by less than a wave's way out and back,
  since a wave meets the switch at one of its dips.
"""
