"""What a technician can do on site, each with its price in minutes."""

from typing import Final

from labkit.drills import doing
from labkit.drills.doing import Task
from labkit.site import Site

TASKS: Final[dict[str, Task]] = {
    task.key: task
    for task in (
        Task(
            key="gauge",
            label="Read the gauge now",
            minutes=1,
            see=doing.gauge,
            said="The gauge shows {gauge}; the pump {pump}.",
        ),
        Task(
            key="watch",
            label="Watch the gauge for ten minutes",
            minutes=10,
            turn=doing.watch,
            said="In ten minutes the gauge went between {low} and {high}; starts of "
            "the pump: {starts}.",
        ),
        Task(
            key="lights",
            label="Read the controller's state lights",
            minutes=1,
            see=doing.lights,
            said="The controller says: {state}.",
        ),
        Task(
            key="contact",
            label="Meter the contact at the switch",
            minutes=2,
            see=doing.contact,
            said="With the pair off, the switch's contact is {contact}; the gauge shows {gauge}.",
        ),
        Task(
            key="pair",
            label="Meter the pair at the controller",
            minutes=2,
            see=doing.pair,
            said="At the controller the pair reads {pair}.",
        ),
        Task(
            key="drain",
            label="Let the pressure off at the manifold, meter the contact",
            minutes=6,
            turn=doing.drain,
            said="With the manifold drained, the switch's contact is {contact}; the gauge shows "
            "{gauge}.",
        ),
        Task(
            key="screw",
            label="Turn the switch's screw down, meter the contact, turn it back",
            minutes=4,
            turn=doing.screw,
            said="The switch's contact was {before}; with the screw turned down it is {contact}. "
            "Turned back, it stays as it is until the pressure passes the next of its two points.",
        ),
        Task(
            key="shut in",
            label="Drive off, shut the valve at the manifold, watch the gauge",
            minutes=10,
            turn=doing.shut_in,
            said="Shut off from the line, the gauge stood at {gauge} and fell by {fall} in ten "
            "minutes.",
        ),
        Task(
            key="open line",
            label="Drive off, floats lifted, valve open, watch the gauge",
            minutes=10,
            turn=doing.open_line,
            said="Open to the line, the gauge stood at {gauge} and fell by {fall} in ten minutes.",
        ),
        Task(
            key="lift",
            label="Lift every float by hand, watch the gauge",
            minutes=5,
            turn=doing.lift,
            said="With every float lifted the gauge rose to {high} at most; after five minutes "
            "the pump {pump}.",
        ),
        Task(
            key="work",
            label="Push down the float at {where}, then lift every float",
            minutes=12,
            turn=doing.work_switch,
            is_at_trough=True,
            said="Float down: the pump {on}, lowest gauge {low}. Floats up: it {off}, highest "
            "gauge {high}.",
        ),
        Task(
            key="bucket",
            label="Push down the float at {where}, bucket and watch",
            minutes=5,
            turn=doing.bucket,
            is_at_trough=True,
            said="With its float pushed down it passes {flow}; the gauge shows {gauge} then.",
        ),
        Task(
            key="press",
            label="Press the float at {where} down one inch, bucket and watch",
            minutes=2,
            turn=doing.press,
            is_at_trough=True,
            said="With its float one inch down it passes {flow}.",
        ),
        Task(
            key="drip",
            label="Lift the float at {where}, catch what still comes",
            minutes=3,
            turn=doing.drip,
            is_at_trough=True,
            said="With the float lifted, {flow} still gets by.",
        ),
        Task(
            key="look",
            label="Look at water and float at {where}",
            minutes=2,
            see=doing.look_at_float,
            is_at_trough=True,
            said="The water stands {gap} under the rim; the float is {float}.",
        ),
        Task(
            key="power",
            label="Meter what the array can give now",
            minutes=4,
            see=doing.power,
            said="The array can give {power} now.",
            needs=lambda site: site.drive.kind == "solar",
        ),
        Task(
            key="well at rest",
            label="Drive off, sound the well at rest",
            minutes=12,
            turn=doing.well_at_rest,
            said="At rest the water stands {depth} down.",
        ),
        Task(
            key="well pumping",
            label="Push down the float at {where}, sound the well",
            minutes=12,
            turn=doing.well_pumping,
            is_at_trough=True,
            said="Ten minutes later the water stands {depth} down; the pump {pump}.",
        ),
        Task(
            key="tank",
            label="Drive off, drain the tank, check its air",
            minutes=15,
            turn=doing.tank,
            said="Empty, its air reads {air}; {water} came out of tank and manifold.",
            needs=lambda site: site.pressure_tank is not None,
        ),
        Task(
            key="print",
            label="Read the print on the pipe to {where}",
            minutes=15,
            turn=doing.read_print,
            is_at_trough=True,
            said="From the manifold on: {sizes}.",
        ),
    )
}
"""Every task by its key."""


def choices(site: Site) -> tuple[tuple[str, str], ...]:
    """Give what can be done at a site: (task, trough or an empty name)."""
    return tuple(
        (key, where)
        for key, task in TASKS.items()
        if task.needs(site)
        for where in ([trough.name for trough in site.troughs] if task.is_at_trough else [""])
    )
