"""Questions about a day's water: what a herd needs, what the sun brings, what must be stored."""

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase

DAY, HOUR = 86_400.0, 3600.0
_MINUTES_A_DAY = 1440.0


def herd_need(name: str, *, head: int, each: float) -> NumberQuestion:
    """Ask what a herd needs in a day; `each` is the need of one head [m3/s]."""
    answer = head * each
    per_minute = phrase(
        "You wrote gallons (or liters) a *minute* where it is a *day*. What would that be by "
        "tonight?"
    )
    return NumberQuestion(
        name=name,
        label="The herd needs",
        ask=phrase(
            "{head} cows with calves drink {each} each. **How much water must come in a day?** "
            "Give a flow, such as 500 gal/day or 2000 L/day.",
            head=(float(head), "count"),
            each=(each, "daily volume"),
        ),
        answer=answer,
        kind="daily volume",
        slips=(
            Slip(
                name="one animal only",
                values=(each,),
                hint=phrase("That is what one of them drinks."),
            ),
            Slip(name="a minute for a day", values=(answer * _MINUTES_A_DAY,), hint=per_minute),
        ),
        hints=(
            phrase("How many are there, and what does each one drink?"),
            phrase(
                "{head} times {each}.", head=(float(head), "count"), each=(each, "daily volume")
            ),
        ),
        reason=phrase(
            "{answer}. That is the figure to plan by; take it for the hottest month.",
            answer=(answer, "daily volume"),
        ),
    )


def sun_brings(name: str, *, flow: float, hours: int) -> NumberQuestion:
    """Ask what a pump brings in a day of so many peak sun hours; `flow` in full sun [m3/s]."""
    answer = flow * hours * HOUR / DAY
    forgot_minutes = phrase(
        "You multiplied a flow *per minute* by *hours*. How many minutes are there in an hour?"
    )
    all_day = phrase(
        "You let it pump day and night. The sun is worth {hours} full hours only.",
        hours=(float(hours), "count"),
    )
    one_hour = phrase("That is what comes in one hour of full sun. How many are there?")
    return NumberQuestion(
        name=name,
        label="The sun brings",
        ask=phrase(
            "In full sun the pump brings {flow}. The light of this whole day is worth {hours} "
            "hours of full sun. **How much comes in a day, by the handbook's sum?** Give a flow, "
            "such as 500 gal/day or 2000 L/day.",
            flow=(flow, "flow"),
            hours=(float(hours), "count"),
        ),
        answer=answer,
        kind="daily volume",
        tolerance=0.03,
        slips=(
            Slip(name="minutes forgotten", values=(answer / 60.0,), hint=forgot_minutes),
            Slip(name="pumps day and night", values=(flow,), hint=all_day),
            Slip(name="one hour of sun", values=(flow * HOUR / DAY,), hint=one_hour),
        ),
        hints=(
            phrase("First what comes in an hour of full sun, then times the hours."),
            phrase(
                "{hour} come in an hour of full sun. There are {hours} of those.",
                hour=(flow * HOUR, "volume"),
                hours=(float(hours), "count"),
            ),
        ),
        reason=phrase(
            "{answer}. A weak sun brings less than its share, for the pump must first lift the "
            "water at all.",
            answer=(answer, "daily volume"),
        ),
    )


def lasts(name: str, *, holds: float, need: float) -> NumberQuestion:
    """Ask how long a full trough lasts with no pump at all [m3, m3/s]."""
    answer = holds / need
    turned = phrase("You divided the wrong way. Gallons over gallons a day leave days.")
    minutes = phrase("That would be minutes. The need is a *day's* need.")
    return NumberQuestion(
        name=name,
        label="It lasts",
        ask=phrase(
            "A full trough holds {holds}. The herd drinks {need}, and the pump stands still. **How "
            "long does the water last?** Give a time, such as 2.5 days or 60 h.",
            holds=(holds, "volume"),
            need=(need, "daily volume"),
        ),
        answer=answer,
        kind="time",
        tolerance=0.03,
        slips=(
            Slip(name="need over store", values=(DAY * DAY / answer,), hint=turned),
            Slip(name="minutes for days", values=(answer / _MINUTES_A_DAY,), hint=minutes),
        ),
        hints=(
            phrase("How many times does a day's need go into the trough?"),
            phrase(
                "Share {holds} out at {need}.",
                holds=(holds, "volume"),
                need=(need, "daily volume"),
            ),
        ),
        reason=phrase(
            "{holds} at {need} last {answer}.",
            holds=(holds, "volume"),
            need=(need, "daily volume"),
            answer=(answer, "time"),
        ),
    )


def store_for(name: str, *, need: float, comes: float, days: int) -> NumberQuestion:
    """Ask what must be stored for dull days in a row; `need` and `comes` a day [m3/s]."""
    answer = (need - comes) * DAY * days
    forgot = phrase("You counted on nothing from the pump. Even dull days bring {comes}.",
                    comes=(comes, "daily volume"))  # fmt: skip
    one_day = phrase("That is what one dull day lacks. There are {days}.",
                     days=(float(days), "count"))  # fmt: skip
    only = phrase("That is what still comes in. What is missing?")
    return NumberQuestion(
        name=name,
        label="To be stored",
        ask=phrase(
            "Another herd needs {need}. On a dull day the pump still brings {comes}. **How much "
            "water must stand ready for {days} dull days in a row?**",
            need=(need, "daily volume"),
            comes=(comes, "daily volume"),
            days=(float(days), "count"),
        ),
        answer=answer,
        kind="volume",
        slips=(
            Slip(name="nothing comes at all", values=(need * DAY * days,), hint=forgot),
            Slip(name="one day only", values=((need - comes) * DAY,), hint=one_day),
            Slip(name="what comes for what lacks", values=(comes * DAY * days,), hint=only),
        ),
        hints=(
            phrase("What does one dull day lack?"),
            phrase(
                "Each day lacks {gap}.",
                gap=(need - comes, "daily volume"),
            ),
        ),
        reason=phrase(
            "{gap} are missing each day, {answer} in {days} days. Handbooks ask for three days of "
            "the whole need where the sun pumps (NRCS South Dakota, note SD2006-1).",
            gap=(need - comes, "daily volume"),
            answer=(answer, "volume"),
            days=(float(days), "count"),
        ),
    )


def through_the_spell(
    name: str, *, lasts: bool, holds: float, need: float, comes: float
) -> ChoiceQuestion:
    """Ask whether a full trough sees a herd through three dull days; the run says.

    Parameters
    ----------
    name : str
        Name of the question.
    lasts : bool
        Whether it does.
    holds : float
        Water in the full trough [m3].
    need, comes : float
        What the herd drinks and what the pump still brings, a day [m3/s].
    """
    no = phrase(
        "Add up three days: what the herd drinks, less what still comes. Is that more than the "
        "trough holds?"
    )
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "Your own ranch: the trough holds {holds} when full, the herd drinks {need}, and on a "
            "dull day {comes} come in. After a clear day come three dull ones. **Will the herd "
            "have water on the third evening?**",
            holds=(holds, "volume"),
            need=(need, "daily volume"),
            comes=(comes, "daily volume"),
        ),
        options=(
            Option(
                words=phrase("Yes, the trough lasts through the spell."),
                said=phrase("Yes: three days lack less than the trough holds.") if lasts else no,
                is_right=lasts,
                slip="" if lasts else "trusts a small trough",
            ),
            Option(
                words=phrase("No, it runs dry before."),
                said=no if lasts else phrase("Right: three days lack more than it holds."),
                is_right=not lasts,
                slip="dry with water left" if lasts else "",
            ),
            Option(
                words=phrase("That depends on the cut-out of the switch."),
                said=phrase(
                    "The switch stops the pump when the trough is full. On dull days it is never "
                    "full."
                ),
                slip="the switch makes no water",
            ),
        ),
    )
