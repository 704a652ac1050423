"""Worked cases of the forecast of a pH, by a second way: every curve and every factor spelt out, the quantile by sorting.

python3 tests/references/ph_forecast.py > tests/references/ph_forecast.csv
"""

import math

CASES = [
    # readings "hours:pH", hours at 24 °C; target
    ("two", "0:5.80 12:5.65", 5.3),
    ("three", "0:5.80 8:5.74 20:5.42", 5.0),
    ("four", "0:5.75 6:5.72 14:5.50 22:5.22", 5.0),
    ("lag", "0:5.92 10:5.90", 5.3),
    ("late first", "24:5.55 32:5.38", 5.0),
    ("slow and long", "0:5.70 24:5.58 48:5.47 72:5.36", 5.3),
]


def softplus(x):
    return math.log1p(math.exp(x)) if x < 30 else x


def case(readings, target):
    (t1, ph1), later = readings[0], readings[1:]
    last_t, last_ph = readings[-1]
    nodes = []
    for i in range(26):
        lag = math.exp(math.log(1.5) + i / 25 * math.log(90 / 1.5))
        w = 2.5 + 0.15 * lag

        def g(t):
            return w * (softplus((t - lag) / w) - softplus(-lag / w))

        for j in range(34):
            r = math.exp(math.log(0.003) + j / 33 * math.log(0.25 / 0.003))
            for floor, share in ((-10, 0.8), (4.6, 0.07), (4.85, 0.07), (5.1, 0.06)):
                for p in (-0.06, 0.0, 0.06):
                    a = max(ph1 + p - floor, 0.15)

                    def ph(t):
                        return floor + a * math.exp(-r * (g(t) - g(t1)) / a)

                    log = -0.5 * (math.log(lag / 12) / 0.8) ** 2
                    log += -0.5 * (math.log(r / 0.032) / 0.65) ** 2
                    log += -0.5 * (p / 0.05) ** 2 + math.log(share)
                    for t, seen in later:
                        s2 = 0.045**2 + (0.06 * (last_t - t) / last_t) ** 2
                        log += -2.5 * math.log(1 + (ph(t) - seen) ** 2 / s2 / 4)
                    moved = min(max(0.5 * (last_ph - ph(last_t)), -0.25), 0.25)
                    left = target - moved - floor
                    if left <= 0:
                        hours = math.inf
                    else:
                        goal = g(t1) + a / r * math.log(a / left)
                        low, high = last_t, last_t + 1e6
                        if g(last_t) >= goal:
                            high = last_t
                        for _ in range(80):
                            middle = (low + high) / 2
                            low, high = (middle, high) if g(middle) < goal else (low, middle)
                        hours = high - last_t
                    nodes.append((log, hours))
    top = max(log for log, _ in nodes)
    spread = [
        (hours * math.exp(0.25 * z), math.exp(log - top) / 6)
        for log, hours in nodes
        for z in (-1.6449, -0.8416, -0.2533, 0.2533, 0.8416, 1.6449)
    ]
    spread.sort()
    total, answer, wanted = sum(weight for _, weight in spread), [], [0.1, 0.5, 0.9]
    passed = 0.0
    for hours, weight in spread:
        passed += weight / total
        while wanted and passed >= wanted[0]:
            wanted.pop(0)
            answer.append(hours)
    return answer


print("# source: the model as this project describes it, computed a second time by ph_forecast.py beside this file")
print("# where: ph_forecast.py; an empty field is never")
print("# standing: derived")
print("# tolerance: 0.02 h, because curves of less than 1e-5 of the heaviest are left out")
print("name,readings,target,p10,p50,p90")
for name, text, target in CASES:
    readings = [tuple(float(part) for part in each.split(":")) for each in text.split()]
    shown = ["" if math.isinf(hours) else f"{hours:.3f}" for hours in case(readings, target)]
    print(",".join([name, text, str(target), *shown]))
