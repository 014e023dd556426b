"""How the points of the commissioning rig come about, in words with their numbers."""

from typing import TYPE_CHECKING

from labkit.advice.rules import UNDER_CUT_IN
from labkit.questions import Amount
from labkit.rigs.handing import (
    A_TRY,
    AIR_OFF,
    FREE_MINUTES,
    FREE_TRIES,
    MINUTES_A_POINT,
    MOST,
    ROOM_FOR_ALL,
)
from labkit.view.point_words import POINT_WORDS
from labkit.view.rig_words import RIG_WORDS
from labkit.view.telling import written_amount
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.rigs import Handover


def rules(system: str, *, has_tank: bool) -> list[str]:
    """Say beforehand how the points come about."""
    words = POINT_WORDS
    said = [
        words["rule days"].format(day=f"{MOST['clear day']:g}"),
        words["rule room"].format(room=f"{MOST['room']:g}", enough=_pressure(ROOM_FOR_ALL, system)),
    ]
    if has_tank:
        off, under = (_pressure(one, system) for one in (AIR_OFF, UNDER_CUT_IN))
        said.append(words["rule air"].format(air=f"{MOST['air']:g}", off=off, under=under))
    return [
        *said,
        words["rule tries"].format(tries=f"{MOST['tries']:g}", free=FREE_TRIES, each=f"{A_TRY:g}"),
        words["rule minutes"].format(
            minutes=f"{MOST['minutes']:g}", free=f"{FREE_MINUTES:g}", per=f"{MINUTES_A_POINT:g}"
        ),
        words["rule works"],
    ]


def points_rows(left: "Handover", system: str) -> list[tuple[str, int, str]]:
    """Give each part's words, its points, and how they come about."""
    why = {
        "clear day": _day(left.verdicts[0]),
        "hazy day": _day(left.verdicts[1]),
        "room": _room(left, system),
        "air": _air(left, system),
        "tries": POINT_WORDS["why tries"].format(
            tries=left.tries, free=FREE_TRIES, each=f"{A_TRY:g}"
        ),
        "minutes": POINT_WORDS["why minutes"].format(
            minutes=f"{left.minutes:g}", free=f"{FREE_MINUTES:g}", per=f"{MINUTES_A_POINT:g}"
        ),
    }
    if not left.works:
        why |= dict.fromkeys(("tries", "minutes"), POINT_WORDS["why not"])
    return [
        ((POINT_WORDS.get(key) or RIG_WORDS[key]), points, why[key])
        for key, points in left.points.items()
    ]


def _day(verdict: str) -> str:
    """Name a verdict, without what it means."""
    name = WORDS[verdict].split(":")[0]
    return POINT_WORDS["why day"].format(verdict=f"{name[:1].lower()}{name[1:]}".rstrip("."))


def _room(left: "Handover", system: str) -> str:
    if left.margin < 0.0:
        return POINT_WORDS["why past"].format(past=_pressure(-left.margin, system))
    margin, enough = (_pressure(one, system) for one in (left.margin, left.enough_room))
    return POINT_WORDS["why room"].format(margin=margin, enough=enough)


def _air(left: "Handover", system: str) -> str:
    if left.air is None:
        return POINT_WORDS["why no tank"]
    air, under, off = (_pressure(one, system) for one in (left.air, UNDER_CUT_IN, AIR_OFF))
    return POINT_WORDS["why air"].format(air=air, under=under, off=off)


def _pressure(pressure: float, system: str) -> str:
    return written_amount(Amount(pressure, "pressure"), system)
