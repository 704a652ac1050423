"""Writes quartiles_numpy.csv, from NumPy alone. Run beside this file: python quartiles.py

NumPy's default method "linear" is number 7 of Hyndman and Fan (1996).
"""

import numpy

WORKED = [
    [7.0],
    [7.0, 9.0],
    [1.0, 2.0, 4.0],
    [1.0, 2.0, 3.0, 4.0],
    [24.0, 27.0, 31.0, 22.5, 29.0],
    [30.0, 30.0, 30.0, 30.0, 30.0],
    [0.12, 0.17, 0.14, 0.16, 0.11, 0.15, 0.13],
]

generator = numpy.random.default_rng(20261126)
DRAWN = [
    [round(float(days), 2) for days in generator.lognormal(3.4, 0.4, size=size)]
    for size in (5, 6, 7, 8, 12, 23, 50, 101)
]

with open("quartiles_numpy.csv", "w") as out:
    out.write(
        f"# source: NumPy {numpy.__version__} (PyPI), numpy.quantile with method linear, which its reference names number 7 of Hyndman and Fan (1996)\n"
        "# where: quartiles.py beside this file; the first seven lists chosen, the others drawn\n"
        "# standing: read\n"
        "# tolerance: 1e-9, because both compute in double precision\n"
        "values,low,middle,high\n"
    )
    for values in WORKED + DRAWN:
        low, middle, high = numpy.quantile(values, [0.25, 0.5, 0.75], method="linear")
        out.write(f"{' '.join(map(repr, values))},{float(low)!r},{float(middle)!r},{float(high)!r}\n")
