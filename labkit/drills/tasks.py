"""What a technician can do on site, each with its price in minutes."""

from typing import Final

from labkit.drills import doing
from labkit.drills.doing import Task
from labkit.parts import DisplacementPump
from labkit.site import Site

TASKS: Final[dict[str, Task]] = {
    task.key: task
    for task in (
        Task(key="gauge", minutes=1, see=doing.gauge),
        Task(key="watch", minutes=10, turn=doing.watch, said=doing.watched),
        Task(key="lights", minutes=1, see=doing.lights),
        Task(key="contact", minutes=2, see=doing.contact),
        Task(key="pair", minutes=2, see=doing.pair),
        Task(key="drain", minutes=6, turn=doing.drain),
        Task(key="screw", minutes=4, turn=doing.screw, said=doing.turned),
        Task(key="lever", minutes=3, turn=doing.lever),
        Task(key="ohms", minutes=5, turn=doing.meter_ohms),
        Task(key="wellhead", minutes=2, see=doing.look_at_wellhead),
        Task(key="shut in", minutes=10, turn=doing.shut_in, said=doing.held),
        Task(key="open line", minutes=10, turn=doing.open_line, said=doing.held),
        Task(key="lift", minutes=5, turn=doing.lift, said=doing.lifted),
        Task(key="work", minutes=12, turn=doing.work_switch, is_at_trough=True, said=doing.worked),
        Task(key="bucket", minutes=5, turn=doing.bucket, is_at_trough=True, said=doing.bucketed),
        Task(key="inlet", minutes=6, turn=doing.inlet, is_at_trough=True, said=doing.stood),
        Task(key="press", minutes=2, turn=doing.press, is_at_trough=True, said=doing.passed),
        Task(key="drip", minutes=3, turn=doing.drip, is_at_trough=True, said=doing.passed),
        Task(key="look", minutes=2, see=doing.look_at_float, is_at_trough=True, said=doing.looked),
        Task(
            key="power", minutes=4, see=doing.power, needs=lambda site: site.drive.kind == "solar"
        ),
        Task(key="insulation", minutes=30, turn=doing.motor_lead),
        Task(
            key="swap",
            minutes=30,
            turn=doing.swap,
            needs=lambda site: not isinstance(site.pump, DisplacementPump),
        ),
        Task(key="well at rest", minutes=12, turn=doing.well_at_rest),
        Task(key="well pumping", minutes=12, turn=doing.well_pumping, is_at_trough=True),
        Task(
            key="tank",
            minutes=15,
            turn=doing.tank,
            said=doing.emptied,
            needs=lambda site: site.pressure_tank is not None,
        ),
        Task(key="print", minutes=15, turn=doing.read_print, is_at_trough=True),
    )
}
"""Every task by its key."""


def choices(site: Site) -> tuple[tuple[str, str], ...]:
    """Return what can be done at a site: (task, trough or an empty name)."""
    return tuple(
        (key, where)
        for key, task in TASKS.items()
        if task.needs(site)
        for where in ([trough.name for trough in site.troughs] if task.is_at_trough else [""])
    )
