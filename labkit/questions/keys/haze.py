"""Questions about what haze does to a pump and its stop."""

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.phrase import Phrase, phrase


def in_haze(name: str, *, clear_stops: bool, hazy_stops: bool) -> ChoiceQuestion:
    """Ask on which days a line stops; the simulation has found it."""
    options = {
        (True, True): phrase("It stops on both days."),
        (True, False): phrase("It stops on the clear day; in the haze it never stops."),
        (False, True): phrase("It stops in the haze; on the clear day it never stops."),
        (False, False): phrase("It never stops, on either day."),
    }
    why = {
        (True, True): phrase("On both days the gauge can climb past cut-out, so the switch trips."),
        (True, False): phrase(
            "In clear sun the gauge can climb past cut-out; in the haze it stays under it, and "
            "the pump pushes on against the shut line."
        ),
        (False, False): phrase("Even in clear sun the gauge cannot reach the cut-out."),
    }
    hint = phrase("Hold your two figures against the cut-out, the clear day's and the hazy day's.")
    never = phrase(
        "Haze cannot give a pump more push. Can it climb higher in the haze than in clear sun?"
    )
    truth = (clear_stops, hazy_stops)

    def said(case: tuple[bool, bool]) -> Phrase:
        if case == truth:
            return why[case]
        return never if case == (False, True) else hint

    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "Every float is shut, on the clear day and on the hazy one. **What will the pump do?**"
        ),
        options=tuple(
            Option(
                words=words,
                said=said(case),
                is_right=case == truth,
                slip="" if case == truth else f"stops {case} for {truth}",
            )
            for case, words in options.items()
        ),
    )


def displacement_in_haze(name: str) -> ChoiceQuestion:
    """Ask what haze does to a positive-displacement pump against a shut line."""
    same = phrase("That is what a centrifugal pump does. What does each turn of this one move?")
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "In the well hangs a **positive-displacement** pump. Haze lets a third of the sun "
            "through; the pump turns slowly, but it turns. Every float shuts. **What happens?**"
        ),
        options=(
            Option(
                words=phrase("The gauge stays low: slow turns make little pressure."),
                said=same,
                slip="displacement pump taken for centrifugal",
            ),
            Option(
                words=phrase("The gauge climbs to cut-out all the same, only more slowly."),
                said=phrase(
                    "Each turn pushes its bit of water in, fast or slow. The sun sets how fast "
                    "it fills, not how hard it pushes. So it needs a relief valve, always."
                ),
                is_right=True,
            ),
            Option(
                words=phrase("Nothing: such a pump needs full sun to start."),
                said=phrase(
                    "It needs some power to start, far less than full sun. Once it turns, what "
                    "does each turn do?"
                ),
            ),
        ),
    )
