"""Contact and controller, and what may be broken between them."""

from math import inf

from labkit.questions.bank import Picked, Resistance, choice


@choice
def what_it_does(*, outcome: str, asked: str, is_faulty: bool = False) -> Picked:
    """Pick what a pump does with its contact, pair and controller, as it was found.

    `outcome` is as `labkit.advice.stop_table` names it, `asked` one of the bank's ways of asking.
    """
    wrong = dict.fromkeys(
        ("works", "never starts", "never stops"), "faulty" if is_faulty else "good"
    )
    return Picked(outcome, case=asked, hints=wrong)


@choice
def which_part(*, by_itself: Resistance, joined: Resistance, found: str) -> Picked:
    """Pick what is broken, from a meter; the pair reads open at the controller, the gauge is high.

    The meter shows so much on the contact `by_itself`, and on the pair from the switch with its
    ends at the controller `joined`; infinite for no reading [ohm]. It is "cut" or "stuck open".
    """
    read = {"by_itself": by_itself, "joined": joined}
    return Picked(found, {name: "OL" if ohms == inf else ohms for name, ohms in read.items()})
