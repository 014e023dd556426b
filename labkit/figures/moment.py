"""Which moment of a run tells most."""

from typing import TYPE_CHECKING

from labkit.trace.measures import false_stop_times

if TYPE_CHECKING:
    from labkit.trace import Trace


def telling_moment(trace: "Trace") -> float:
    """Return the moment [s] that tells most: when what the drive goes by last spoke, or the end.

    Of false stops it is the first, while the trough is still far from full.
    """
    if trace.verdict == "false stop":
        return float(false_stop_times(trace)[0])
    listens = trace.site.drive.listens_to
    kind = "switch trips" if listens == "pressure switch" else "drive told to stop"
    words = trace.times(kind)
    return float(words[-1] if words else trace.time[-1])
