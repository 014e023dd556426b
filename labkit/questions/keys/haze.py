"""What haze does to a pump and its stop."""

from labkit.questions.bank import Picked, choice


@choice
def in_haze(*, clear_stops: bool, hazy_stops: bool) -> Picked:
    """Pick the days on which a line stops; the simulation has found them."""
    return Picked(str((clear_stops, hazy_stops)))
