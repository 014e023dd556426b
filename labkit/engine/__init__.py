"""The engine: a Site as flat SI arrays, one residual, and time.

``plant`` (Site to arrays) → ``network`` (the residual and its solution) → ``step`` (one implicit
step) or ``leap`` (an explicit one) → ``loop`` (switching, recording) → ``run`` (`simulate`). What
the drive hears of switch and sensors: ``wiring``, ``signals``. Pressure waves are a second model on
the same tree: ``surge``.

How it works
------------
* Unknowns are the heads at the nodes of a tree of runs: pump, manifold, tees, trough inlets, leaks
  within a run. Each holds half the elastic storage of its runs, the manifold the tank as well. A
  trough's level is solved inside, for its balance is straight in pieces.
* `network.evaluate` is the only residual; steps in time, steady states and the shutoff head all
  come from it. A step is taken in the water held (`step`), so that the balance closes to rounding:
  heads as the state would lose water at the tank, explicit methods need seconds for an hour against
  a shut valve, and implicit Euler loses 1 % of a period at the same cost.
* A full line is tried first. Only where a head falls under its limit do pockets open: the unknown
  is then the surface in the leg below, news runs downhill only, and Newton halves its stride. In
  steady state they are found by filling an empty line, for with pockets it need not be unique. A
  node that merely went soft would let a siphon run over any crest.
* Where water's inertia shows, a piece's flow is eliminated within the stage, so the matrix stays as
  it is. Waves have an error norm of their own: one norm for all follows each dying wave, at forty
  times the steps. A bare line is followed in leaps (`leap`) as long as waves run in it: flows and
  heads in turn, each step a wave's way through a piece, a third of an implicit step's cost.
* Water that swings back from an open end lets air in behind it (`trough.let_in`): held from behind,
  a drained line would stand half a psi low.
* A step that crosses a switching is taken again, shorter, until it ends just past it (`landing`).
* All that the loop remembers is in `Memory`; it stops when its page is full and goes on as before.
* Records (``plant.nodes[i].L``) instead of twenty arrays: passing those cost seven times the
  physics. A field must not be named like a method of a numpy record, or the uncompiled run breaks.
* Behind a shut valve at the manifold a metre of pipe stays on the gauge's side, and each leg that
  falls from high ground begins with a foot of pipe: with no storage no step can follow.

What it leaves out
------------------
* Bare lines are within 1 % and 1.8 psi of characteristics where their period repeats, lines with a
  tank within 1.8 % and 0.9 psi. A bare line whose period hangs on a dip of a wave, so that half a
  percent of length moves it by 5 to 20 %, is known as a band only. Unsteady friction, left out,
  moves it by 7 %; polyethylene's modulus, known to 20 to 40 %, as much again. A slow leak-down
  takes up to 40 % longer, for the pipe goes on creeping.
* A pocket is at the vapor's pressure, or the air's if the line has a vent anywhere (two limits side
  by side would let an empty node feed a siphon). How air gathers or dissolves is not computed; a
  falling leg runs full below its surface; a foot of pipe decides how a tee at its limit shares
  water. Air comes in at an open float only where water swings back from it, into the last piece of
  its pipe: a siphon past it is not broken.
* A stop of a line in pieces is one start from cut-in, in each of some powers: between two of them,
  or with waves left over from the stop before, a peak may be some 0.4 psi higher.
* A float that throttles while stock drink less than the pump gives makes the pump cycle; real
  valves differ in how they approach shut.
* After the torque limit the drive stays locked until the sun is gone. The well answers at once.
* Waits that creep (weak sun, a float forced open) are off by up to 0.3 %.
* A short line (under a hundred feet) that drains itself may show -6 psi for a second or two, where
  the estimated error cancels by chance; at a tenth of the tolerance it is gone.
* A surge has quasi-steady friction, is rough once water boils, draws in no air, goes by
  ``open_troughs`` and not by a stuck float, and is refused where a leg runs partly full.
* A run keeps every row but those of leaps on a straight line: a month of a hundred starts an hour
  is a gigabyte, and there it ends. Of a line that starts a thousand times an hour it keeps what
  takes some seconds to compute, and is flagged: what it adds up is of that while.
"""
