# What questions and slips are called where people read it. Learners' files keep the names that
# they have always had; a name that is not here is shown as it is.

a-sound-line-after-the-stop = a good line after the stop
an-opening-switch-on-a-solar-drive = a reverse-acting switch on a solar controller
another-trough-s-column = another trough's static head
bigger-array-more-dead-head-pressure = bigger array, more shutoff pressure
charge-of-the-tank = precharge of the tank
closer-points = smaller differential
cut-in-for-column = cut-in for static head
dead-head = shutoff head
dead-head-in-a-dry-summer = shutoff head in a dry summer
dead-head-in-clear-sun = shutoff head in clear sun
dead-head-in-the-haze = shutoff head in the haze
factory-charge = factory precharge
power-on-a-dull-day = power on a cloudy day
rated-point-for-dead-head = rated point for shutoff head
screw-the-wrong-way = range nut the wrong way
standing-water = static head
the-same-switch-on-a-mains-pump = the same switch on a grid-powered pump
the-screw-far-out = the range nut far out
through-the-spell = through the cloudy days
two-dull-days = two cloudy days
what-the-screw-moved = what the range nut moved
