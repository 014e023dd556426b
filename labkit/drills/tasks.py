"""What a technician can do on site, each with its price in minutes."""

from typing import Final

from labkit.drills import doing, saying
from labkit.drills.doing import Task
from labkit.drills.saying import always
from labkit.site import Site

TASKS: Final[dict[str, Task]] = {
    task.key: task
    for task in (
        Task(
            key="gauge",
            label="Read the gauge now",
            minutes=1,
            see=doing.gauge,
            said=always("The gauge shows {gauge}; the pump {pump}."),
        ),
        Task(
            key="watch",
            label="Watch the gauge for ten minutes",
            minutes=10,
            turn=doing.watch,
            said=saying.watched,
        ),
        Task(
            key="lights",
            label="Read the controller's state lights",
            minutes=1,
            see=doing.lights,
            said=always("The controller says: {state}."),
        ),
        Task(
            key="contact",
            label="Check the contact at the switch with a meter",
            minutes=2,
            see=doing.contact,
            said=always(
                "With the pair disconnected, the switch's contact is {contact}; the gauge reads "
                "{gauge}."
            ),
        ),
        Task(
            key="pair",
            label="Check the pair at the controller with a meter",
            minutes=2,
            see=doing.pair,
            said=always("At the controller the pair reads {pair}."),
        ),
        Task(
            key="drain",
            label="Bleed the manifold to zero, check the contact",
            minutes=6,
            turn=doing.drain,
            said=always(
                "With the manifold drained, the switch's contact is {contact}; the gauge reads "
                "{gauge}."
            ),
        ),
        Task(
            key="screw",
            label="Loosen the range nut, check the contact, tighten it again",
            minutes=4,
            turn=doing.screw,
            said=saying.turned,
        ),
        Task(
            key="lever",
            label="Controller off, pair off, work the switch's lever, meter the contact",
            minutes=3,
            turn=doing.lever,
            said=always("With the lever up the contact is {up}; with the lever down it is {down}."),
        ),
        Task(
            key="wellhead",
            label="Look over the wellhead: fittings, drain, shutoff valve",
            minutes=2,
            see=doing.wellhead,
            said=always("The wellhead is {ground}; the line shutoff valve is {valve}."),
        ),
        Task(
            key="shut in",
            label="Controller off, line shutoff closed, watch the gauge",
            minutes=10,
            turn=doing.shut_in,
            said=saying.held("Shut off from the line"),
        ),
        Task(
            key="open line",
            label="Controller off, shutoff open, floats lifted, watch the gauge",
            minutes=10,
            turn=doing.open_line,
            said=saying.held("Open to the line"),
        ),
        Task(
            key="lift",
            label="Lift every float by hand, watch the gauge",
            minutes=5,
            turn=doing.lift,
            said=saying.lifted,
        ),
        Task(
            key="work",
            label="Push the float at {where} down, then lift every float",
            minutes=12,
            turn=doing.work_switch,
            is_at_trough=True,
            said=saying.worked,
        ),
        Task(
            key="bucket",
            label="Push the float at {where} down and time a bucket",
            minutes=5,
            turn=doing.bucket,
            is_at_trough=True,
            said=saying.passed(
                "With its float pushed down it passes", "; the gauge reads {gauge} then."
            ),
        ),
        Task(
            key="press",
            label="Push the float at {where} down {inch} and time a bucket",
            minutes=2,
            turn=doing.press,
            is_at_trough=True,
            said=saying.passed("With its float {inch} down it passes"),
        ),
        Task(
            key="drip",
            label="Lift the float at {where}, catch what still comes",
            minutes=3,
            turn=doing.drip,
            is_at_trough=True,
            said=saying.dripped,
        ),
        Task(
            key="look",
            label="Look at water and float at {where}",
            minutes=2,
            see=doing.look_at_float,
            is_at_trough=True,
            said=saying.looked,
        ),
        Task(
            key="power",
            label="Measure array output",
            minutes=4,
            see=doing.power,
            said=always("The array can make {power} now."),
            needs=lambda site: site.drive.kind == "solar",
        ),
        Task(
            key="well at rest",
            label="Controller off, sound the well",
            minutes=12,
            turn=doing.well_at_rest,
            said=always("With the pump off the water in the well is {depth} down."),
        ),
        Task(
            key="well pumping",
            label="Push the float at {where} down, sound the well",
            minutes=12,
            turn=doing.well_pumping,
            is_at_trough=True,
            said=always(
                "With the float held down, the water in the well is {depth} down; the pump {pump}."
            ),
        ),
        Task(
            key="tank",
            label="Controller off, drain the tank, check its air",
            minutes=15,
            turn=doing.tank,
            said=saying.emptied,
            needs=lambda site: site.pressure_tank is not None,
        ),
        Task(
            key="print",
            label="Read the print on the pipe to {where}",
            minutes=15,
            turn=doing.read_print,
            is_at_trough=True,
            said=always("From the manifold {sizes}."),
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
