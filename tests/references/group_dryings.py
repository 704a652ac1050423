"""Writes group_dryings.csv (invented batches) and group_quartiles.csv (what they tell together), with NumPy alone. Run
beside this file: python group_dryings.py

Losses between weighings by numpy.interp, the first day on which a loss was reached by numpy.interp on the rising course,
a batch by the median of its pieces, quartiles by numpy.quantile (method linear: number 7 of Hyndman and Fan 1996), and a
member with more batches than all others together cut to as many of their latest, but not below five in all.
"""

import numpy

generator = numpy.random.default_rng(14)
DAYS = (3, 7, 14, 21, 28, 42)
TARGET = 0.35


def piece(diameter):
    """Days and net weights of a piece that dries along 1 - exp(-(day / pace) ** 0.7), never gaining."""
    pace = float(generator.uniform(0.9, 1.5)) * diameter
    last = int(generator.integers(18, 60))
    days = [0] + sorted(int(day) for day in generator.choice(range(1, last), size=7, replace=False)) + [last]
    green = int(generator.integers(400, 1200))
    weights = [green] + [round(green * float(numpy.exp(-((day / pace) ** 0.7)))) for day in days[1:]]
    return days, [min(weights[: place + 1]) for place in range(len(weights))]


def loss_on(course, day):
    days, weights = course
    if day > days[-1]:
        return None
    return 1 - float(numpy.interp(day, days, weights)) / weights[0]


def target_day(course):
    days, weights = course
    losses = [1 - weight / weights[0] for weight in weights]
    reached = [place for place, loss in enumerate(losses) if loss >= TARGET]
    if not reached:
        return None
    first = reached[0]
    return float(numpy.interp(TARGET, losses[first - 1 : first + 1], days[first - 1 : first + 1]))


def median(values):
    values = [value for value in values if value is not None]
    return float(numpy.median(values)) if values else None


def levelled(values):
    """Values as (member, value) in the order in which their batches ended."""
    counts = {}
    for member, _ in values:
        counts[member] = counts.get(member, 0) + 1
    most = max(counts, key=lambda member: counts[member])
    others = len(values) - counts[most]
    surplus = counts[most] - max(others, 5 - others)
    kept = []
    for member, value in values:
        if member == most and surplus > 0:
            surplus -= 1
            continue
        kept.append(value)
    return kept


def head(what):
    return (
        f"# source: NumPy {numpy.__version__} (PyPI); the batches are invented, drawn at random\n"
        f"# where: group_dryings.py beside this file; {what}\n"
        "# standing: derived\n"
        "# tolerance: 1e-9, because both compute in double precision\n"
    )


CELLS = (("fermented-sausage", 45, [1, 1, 2, 3, 2, 1, 4]), ("whole-muscle", 80, [1] * 9 + [2, 2, 3]), ("dried-sausage", 32, [1, 2, 2, 1]))
batches = []
for kind, diameter, members in CELLS:
    for member in members:
        pieces = [piece(diameter) for _ in range(int(generator.integers(1, 5)))]
        batches.append((kind, diameter, member, pieces))

with open("group_dryings.csv", "w") as out:
    out.write(head("day:net grams of each piece, the hanging first; target 35 %; they ended in this order"))
    out.write("kind,diameter_mm,member,pieces,target_day\n")
    for kind, diameter, member, pieces in batches:
        text = "; ".join(" ".join(f"{day}:{weight}" for day, weight in zip(*course)) for course in pieces)
        day = median(map(target_day, pieces))
        out.write(f"{kind},{diameter},{member},{text},{'' if day is None else repr(day)}\n")

with open("group_quartiles.csv", "w") as out:
    out.write(head("day empty: days to the target; else the loss on that day; low empty: fewer than five batches of three members"))
    out.write("kind,diameter_mm,day,count,low,middle,high\n")
    for kind, diameter, _ in CELLS:
        for day in (None,) + DAYS:
            values = []
            for of_kind, _, member, pieces in batches:
                if of_kind == kind:
                    value = median(target_day(course) if day is None else loss_on(course, day) for course in pieces)
                    if value is not None:
                        values.append((member, value))
            shown = "" if day is None else day
            if len(values) < 5 or len({member for member, _ in values}) < 3:
                out.write(f"{kind},{diameter},{shown},{len(values)},,,\n")
                continue
            kept = levelled(values)
            low, middle, high = (float(value) for value in numpy.quantile(kept, [0.25, 0.5, 0.75]))
            out.write(f"{kind},{diameter},{shown},{len(kept)},{low!r},{middle!r},{high!r}\n")
