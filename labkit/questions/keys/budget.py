"""A day's water: what a herd needs, what the sun brings, and what to store. Flows in m3/s."""

from labkit.questions.bank import Flow, Picked, Volume, Worked, choice, number
from labkit.units.customary import DAY, HOUR, MINUTE


@number
def herd_need(*, head: int, each: Flow) -> Worked:
    """Return what a herd needs in a day; ``each`` is the need of one head."""
    answer = head * each
    return Worked(answer, {"one animal only": each, "a minute for a day": answer * DAY / MINUTE})


@number
def sun_brings(*, flow: Flow, hours: int) -> Worked:
    """Return what a pump brings in a day of so many peak sun hours; ``flow`` in full sun."""
    answer = flow * hours * HOUR / DAY
    return Worked(
        answer,
        {
            "minutes forgotten": answer / 60.0,
            "pumps day and night": flow,
            "one hour of sun": flow * HOUR / DAY,
        },
        {"hour": flow * HOUR},
    )


@number
def lasts(*, holds: Volume, need: Flow) -> Worked:
    """Return how long a full trough [m3] lasts with no pump at all."""
    answer = holds / need
    return Worked(
        answer, {"need over store": DAY * DAY / answer, "minutes for days": answer / (DAY / MINUTE)}
    )


@number
def store_for(*, need: Flow, comes: Flow, days: int) -> Worked:
    """Return what must be stored for cloudy days in a row; ``need`` and ``comes`` a day."""
    gap = need - comes
    return Worked(
        gap * DAY * days,
        {
            "nothing comes at all": need * DAY * days,
            "one day only": gap * DAY,
            "what comes for what lacks": comes * DAY * days,
        },
        {"gap": gap},
    )


@choice
def through_the_spell(*, lasts: bool, holds: Volume, need: Flow, comes: Flow) -> Picked:  # noqa: ARG001
    """Pick whether a full trough [m3] sees a herd through three cloudy days; the run says."""
    return Picked("lasts" if lasts else "runs dry")
