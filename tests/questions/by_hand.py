"""Each exercise solved from the words on its page, as a learner solves it."""

import re
from collections.abc import Callable
from math import log2
from typing import Final

from tests.questions.solving import Page, counted, read


def exercise_1(page: Page) -> dict[str, str]:
    (rise,), (shut_off, lift, _) = page.lengths("at rest"), page.lengths("dead head")
    friction, valve = page.pressures("while filling")
    (each,), (inflow,) = (read(page.asked["refill"], one) for one in (page.volume, page.flow))
    (held,), (leak,) = (read(page.asked["time off"], one) for one in (page.volume, page.flow))
    herd = int(page.asked["refill"].split()[0])
    return {
        "at rest": page.written(page.column(rise)),
        "dead head": page.written(page.column(shut_off - lift)),
        "while filling": page.written(page.column(rise) + friction + valve),
        "refill": f"{herd * each / inflow:.1f} min",
        "time off": f"{held / leak:.2f} min",
    }


def exercise_2(page: Page) -> dict[str, str]:
    power = page.asked["power in the haze"]
    (rated,), (_, sun), (kept,) = (read(power, one) for one in ("W", "W/m²", "percent"))
    shut_off, lift, _ = page.lengths("dead head in clear sun")
    (speed,) = read(page.asked["dead head in the haze"], "percent")
    (clear,) = page.pressures("dead head in a dry summer")
    (drop,) = page.lengths("dead head in a dry summer")
    _, hazy = page.pressures("cut-out for both days")
    return {
        "power in the haze": f"{rated * sun / 1000.0 * kept / 100.0:.1f} W",
        "dead head in clear sun": page.written(page.column(shut_off - lift)),
        "dead head in the haze": page.written(
            page.column(speed / 100.0 * speed / 100.0 * shut_off - lift)
        ),
        "dead head in a dry summer": page.written(clear - page.column(drop)),
        "cut-out for both days": page.written(0.9 * hazy),
    }


def exercise_3(page: Page) -> dict[str, str]:
    (loss,), (each, length) = (
        page.pressures("friction all along"),
        page.lengths("friction all along"),
    )
    friction = loss * length / each
    (rise,), (valve,) = page.lengths("while filling"), page.pressures("while filling")
    (volume,) = read(page.asked["bucket and watch"], page.volume)
    (seconds,) = read(page.asked["bucket and watch"], "s")
    (slow,) = page.pressures("twice the flow")
    return {
        "friction all along": page.written(friction),
        "while filling": page.written(page.column(rise) + friction + valve),
        "bucket and watch": f"{60.0 * volume / seconds:.2f} {page.flow}",
        "twice the flow": page.written(3.5 * slow),
    }


def exercise_4(page: Page) -> dict[str, str]:
    (rise,) = page.lengths("limit for cut-out")
    friction, valve = page.pressures("limit for cut-out")
    _, high, _, each_out = page.pressures("cut-out after some turns")
    (turns,) = read(page.asked["cut-out after some turns"], "turns")
    low, _, wanted, each_in, _ = page.pressures("turns")
    static, running, gap = page.pressures("lowest cut-out")
    return {
        "limit for cut-in": page.written(page.column(rise)),
        "limit for cut-out": page.written(page.column(rise) + friction + valve),
        "cut-out after some turns": page.written(high - turns * each_out),
        "turns": f"{(low - wanted) / each_in:.2f} turns",
        "lowest cut-out": page.written(max(static + gap, running)),
    }


def exercise_5(page: Page) -> dict[str, str]:
    distance, thousand = page.lengths("the loop")
    (each,) = read(page.asked["the loop"], "ohms")
    (limit, other), (span,) = read(page.asked["how far off"], "ohms"), page.lengths("how far off")
    (whole,), (near, far) = page.lengths("where to dig"), read(page.asked["where to dig"], "ohms")
    return {
        "the loop": f"{2.0 * distance / thousand * each:.2f} ohms",
        "how far off": f"{0.5 * limit / other * span:.1f} {page.length}",
        "where to dig": f"{whole * near / (near + far):.1f} {page.length}",
    }


def exercise_6(page: Page) -> dict[str, str]:
    off, on, hours = page.spans("starts in a day")
    (held,), (wait, _) = (
        read(page.asked["size of a leak"], page.volume),
        page.spans("size of a leak"),
    )
    (leak,) = read(page.asked["lost in a day"], page.flow)
    (rise,) = page.lengths("gauge in the morning")
    return {
        "starts in a day": f"{hours / (off + on):.0f}",
        "size of a leak": f"{60.0 * held / wait:.3f} {page.flow}",
        "lost in a day": f"{leak * 1440.0:.1f} {page.volume}",
        "gauge in the morning": page.written(page.column(rise)),
    }


def exercise_7(page: Page) -> dict[str, str]:
    cut_in, _, under = page.pressures("precharge")
    low, high, air = page.pressures("water the tank gives")
    (volume,) = read(page.asked["water the tank gives"], page.volume)
    charge = cut_in - under + air
    (share,) = read(page.asked["size of another tank"], "percent")
    (wanted,) = read(page.asked["size of another tank"], page.volume)
    off, on = page.spans("starts in an hour")
    return {
        "precharge": page.written(cut_in - under),
        "water the tank gives": f"{volume * (charge / (low + air) - charge / (high + air)):.3f} "
        f"{page.volume}",
        "size of another tank": f"{wanted / share * 100.0:.2f} {page.volume}",
        "starts in an hour": f"{3600.0 / (off + on):.0f}",
    }


def exercise_8(page: Page) -> dict[str, str]:
    heights = page.lengths("lowest reading")[1:]  # creek lies below
    rise, *_ = page.lengths("filling the highest")
    friction, valve = page.pressures("filling the highest")
    (drop,), (cut_out,) = (
        page.lengths("what the low float holds"),
        page.pressures("what the low float holds"),
    )
    (gauge,) = page.pressures("troughs reached")
    (flow,), (missing,) = (read(page.asked["first water"], one) for one in (page.flow, page.volume))
    return {
        "lowest reading": page.written(page.column(max(heights))),
        "filling the highest": page.written(page.column(rise) + friction + valve),
        "what the low float holds": page.written(cut_out + page.column(drop)),
        "troughs reached": str(1 + sum(page.column(height) < gauge for height in heights)),
        "first water": f"{missing / flow:.2f} min",
    }


def exercise_9(page: Page) -> dict[str, str]:
    (held,) = read(page.asked["water in the band"], page.volume)
    deep, band = read(page.asked["water in the band"], page.small)
    velocity, wave, pull = read(page.asked["the jump"], page.velocity)
    (length,) = page.lengths("out and back")
    (speed,) = read(page.asked["out and back"], page.velocity)
    before, rating, jumped = page.pressures("left of the rating")
    return {
        "water in the band": f"{held * band / deep:.2f} {page.volume}",
        "the jump": page.written(page.column(wave * velocity / pull)),
        "out and back": f"{2.0 * length / speed:.2f} s",
        "left of the rating": page.written(rating - before - jumped),
    }


def exercise_10(page: Page) -> dict[str, str]:
    (each,) = read(page.asked["what the herd needs"], page.daily)[:1]
    head = int(page.asked["what the herd needs"].split()[0])
    brings = page.asked["what the sun brings"]
    (flow,), hours = read(brings, page.flow), counted(brings, "hours of full sun")
    power = page.asked["power on a dull day"]
    (rated,), (_, sun), (kept,) = (read(power, one) for one in ("W", "W/m²", "percent"))
    lasts = page.asked["how long it lasts"]
    (holds,), (drunk,) = read(lasts, page.volume), read(lasts, page.daily)
    store = page.asked["what to store"]
    need, comes = read(store, page.daily)
    return {
        "what the herd needs": f"{head * each:.1f} {page.daily}",
        "what the sun brings": f"{flow * 60 * hours:.1f} {page.daily}",
        "power on a dull day": f"{rated * sun / 1000.0 * kept / 100.0:.1f} W",
        "how long it lasts": f"{holds / drunk:.3f} days",
        "what to store": f"{(need - comes) * counted(store, 'cloudy days'):.1f} {page.volume}",
    }


def exercise_11(page: Page) -> dict[str, str]:
    _, running, _, hazy, _, _ = read(page.story, page.pressure)  # rest, fills, noon, haze, clicks
    seen, wanted, each, _ = page.pressures("quarter turns out")
    back, _, low = page.pressures("cut-in after it")
    (count,) = (int(word) for word in page.asked["cut-in after it"].split() if word.isdigit()
                and f"{word} quarter" in page.asked["cut-in after it"])  # fmt: skip
    _, clicks_back, under = page.pressures("tank's air")
    return {
        "cut-out halfway": page.written(0.5 * (running + hazy)),
        "quarter turns out": f"{(seen - wanted) / (each / 4.0):.0f}",
        "cut-in after it": page.written(back - low * count / 4.0),
        "tank's air": page.written(clicks_back - under),
    }


def exercise_13(page: Page) -> dict[str, str]:
    (distance, roll), (ohms,) = (
        page.lengths("ohms of the pair"),
        read(page.asked["ohms of the pair"], "ohms"),
    )
    wire, each, radio = (
        float(price.replace(",", ""))
        for price in re.findall(r"\$([\d,]+)", page.asked["wire or radio"])
    )
    (length,) = page.lengths("wire or radio")
    (left, taken), (near, far) = (
        [float(n) for n in re.findall(r"(\d+) dB", page.asked["decibels left"])],
        page.lengths("decibels left"),
    )
    doublings = round(log2(far / near))
    return {
        "ohms of the pair": f"{2.0 * distance / roll * ohms:.2f} ohms",
        "wire or radio": f"{(radio - wire) / each * length:.1f} {page.length}",
        "decibels left": f"{left - doublings * taken:.0f}",
    }


SOLVED: Final[dict[str, Callable[[Page], dict[str, str]]]] = {
    "exercise_1": exercise_1,
    "exercise_2": exercise_2,
    "exercise_3": exercise_3,
    "exercise_4": exercise_4,
    "exercise_5": exercise_5,
    "exercise_6": exercise_6,
    "exercise_7": exercise_7,
    "exercise_8": exercise_8,
    "exercise_9": exercise_9,
    "exercise_10": exercise_10,
    "exercise_11": exercise_11,
    "exercise_13": exercise_13,
}
"""How each exercise is solved, by the name of its module."""
