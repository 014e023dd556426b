# The form for a line of one's own: sections, boxes, where each number is found.

section-ranch = Ranch
section-well = Well
section-array = Panels
section-pump = Pump
section-trunk = Main pipe
section-trough = { $count ->
    [one] Trough
   *[other] Trough { $number }
}
section-tank = Pressure tank
section-switch = Pressure switch

unknown = I don't know
guesses = Not known on this line, assumed here
assumed = Assumed for now: { $value }. { $why }
unit = unit
troughs = How many troughs
trunk = The pipes share a main pipe from the wellhead to a tee
tank = There is a pressure tank
kind = Kind of pump
ridge = There is higher ground between
vent = An air vent sits on that high ground
complaint = { $what }
elsewhere = { $count ->
    [one] One thing more to put right: { $what }
   *[other] { $count } things more to put right: { $what }
}
ready = Every box checks out. Press “Work it out” below, and the page is about { $title }.
broken = { $count ->
    [one] One box needs another look. The page below still shows the last good site.
   *[other] { $count } boxes need another look. The page below still shows the last good site.
}
too-rich = This site has parts that the form doesn't show (tees behind tees, sensors, leaks). Change it in the text below; the form would lose them.
sketch = Your line, from the well to each trough, not to scale across.
sketch-well = well
where = Where do I find this?

title = Name of the ranch
latitude = Latitude, whole degrees
longitude = Longitude, whole degrees (west is negative)
elevation = Elevation above sea level
    .where = Any map or phone shows it. A thousand feet more or less changes little.
    .why = Air pressure and the sun hardly change with it.
static-level = Depth to water, pump off
    .where = On the driller's log as "static water level," or sound the well after the pump has been off for hours. Count from the pressure gauge.
    .why = Ask the driller or the county; the whole answer hangs on it.
drawdown = How much the water drops per unit of flow
    .where = On the driller's log: drawdown divided by the test flow.
    .why = A middling well. Check it with a sounder while it pumps.
intake-depth = Depth of the pump
    .where = On the installer's sheet: the length of drop pipe. It must be deeper than the water.
    .why = Sixty feet below the water.
rated-power = Nameplate rating of all panels together
    .where = Multiply the watts on one panel's label by the number of panels.
tilt = Tilt of the panels from level
    .where = A phone laid on the panel shows it.
    .why = About the latitude.
shut-off-head = Shutoff head
    .where = On the pump curve: where it meets zero flow.
rated-flow = Flow at a point of the curve
    .where = Any point near the middle of the pump curve.
rated-head = Head at that point
    .where = Read it on the same curve, straight across from that flow.
displacement-flow = Flow at full speed
    .where = On the pump's data sheet, at its rated head.
torque-head = Highest head it can make
    .where = On the data sheet. Set the relief valve by the weakest part it protects.
length = Length of pipe
    .where = Along the pipe, not as the crow flies. A tracking phone or a measuring wheel will do.
rise = Rise from the start of this pipe to its end (negative downhill)
    .where = The difference of two elevations on a good topographic map, or a level.
size = Size
    .where = The print on the pipe: nominal size, SIDR or SDR, and psi.
    .why = A common size. Read its print where it surfaces.
crest-out = Distance out to the high ground
    .where = Along the pipe, from the start of this pipe.
crest-up = Height of the high ground above the start of this pipe
    .where = Walk it with a map: the highest point that the pipe crosses.
name = Name of the trough
volume = Trough holds, full
    .where = Length × width × depth. A cubic foot holds 7.5 gal.
depth = Depth of the trough
float-flow = Float valve passes
    .where = On the valve's data sheet: flow at a stated pressure.
    .why = A common valve for stock.
float-at = at this pressure
    .where = The pressure that belongs to that flow on the data sheet.
    .why = The usual pressure for such a rating.
band = Water drops this far from closed to wide open
    .where = Let the trough drain slowly and measure from where the valve begins to open to where it is wide open.
    .why = A crisp float. A lazy one takes 3 in or more.
head = Head of stock that drink here
tank-volume = Tank volume
    .where = On the tank's label: total volume, not drawdown.
precharge = Precharge
    .where = A tire gauge on its air valve, with the tank empty of water.
    .why = 2 psi under cut-in is usual.
cut-in = Cut-in
    .where = The gauge at the moment the pump starts.
    .why = As the switch comes from the box.
cut-out = Cut-out
    .where = The gauge at the moment the pump stops.
    .why = As the switch comes from the box.

pump-centrifugal = centrifugal
pump-displacement = positive-displacement (helical-rotor, piston, diaphragm)

# Drawings of where a number is found.
figure-curve = A pump curve: head falls as flow rises; the place that is asked for is marked
figure-well = A well: gauge on top, water, pump; the depth that is asked for is marked
figure-label = The label on the back of a panel, with its watts marked
figure-print = Print along a pipe: nominal size, material, SIDR, pressure
figure-switch = Inside a pressure switch: the large range nut and the small differential nut
figure-crest = A pipe over high ground: its distance out and its height are marked
figure-head = head
figure-flow = flow
figure-water = water
figure-pump = pump
figure-gauge = gauge
figure-rated = Rated maximum power
figure-watts = 200 W
figure-times = times the number of panels
figure-printed = 1 1/4 in … PE … SIDR 15 … 100 psi
figure-range = range nut (large)
figure-differential = differential nut (small)
figure-high = high ground
figure-trough = trough
