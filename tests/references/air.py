"""Writes air_psychrolib.csv and air_coolprop.csv, from general-purpose libraries alone.

Run beside this file, with psychrolib 2.5.0 and CoolProp 8.0.0 from PyPI: python air.py
"""

import math

import CoolProp
import CoolProp.CoolProp as coolprop
import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)
HUMIDITIES = (20, 40, 50, 60, 65, 70, 75, 80, 85, 90, 95, 98)
TEMPERATURES = (-5, 0, 2, 4, 5, 8, 10, 12, 13, 15, 18, 20, 22, 24, 25, 28, 30, 35, 40)


def head(library, where, tolerance):
    return (
        f"# source: {library}\n# where: {where}\n# standing: read\n# tolerance: {tolerance}\n"
    )


with open("air_psychrolib.csv", "w") as out:
    out.write(
        head(
            f"PsychroLib {__import__('importlib.metadata').metadata.version('psychrolib')} (PyPI), moist air after ASHRAE Fundamentals 2017",
            "air.py beside this file; 101325 Pa; the table of air.py's temperatures and humidities",
            "half of the last digit given, and 0.002 °C of dew point, because the library stops its search at 0.001 °C and near 0 °C changes from water to ice",
        )
    )
    out.write("celsius,percent,saturation_pa,dew_point_c,deficit_pa,ratio_g_per_kg\n")
    for celsius in TEMPERATURES:
        for percent in HUMIDITIES:
            part = percent / 100
            ratio = psychrolib.GetHumRatioFromRelHum(celsius, part, 101325) * 1000
            saturation = psychrolib.GetSatVapPres(celsius)
            dew = psychrolib.GetTDewPointFromRelHum(celsius, part)
            out.write(f"{celsius},{percent},{saturation:.2f},{dew:.3f},{saturation * (1 - part):.2f},{ratio:.4f}\n")

with open("air_coolprop.csv", "w") as out:
    out.write(
        head(
            f"CoolProp {CoolProp.__version__} (PyPI), saturation of pure water after IAPWS-95",
            "air.py beside this file; PropsSI('P', 'Q', 1), and the density of the vapour as an ideal gas",
            "0.03 %, because it is another equation of state than Hyland and Wexler's",
        )
    )
    out.write("celsius,saturation_pa,full_g_per_m3\n")
    for tenths in range(1, 401, 13):
        celsius = max(tenths / 10, 0.02)
        pressure = coolprop.PropsSI("P", "T", celsius + 273.15, "Q", 1, "Water")
        grams = pressure * 18.01528 / (8.314462618 * (celsius + 273.15))
        assert math.isfinite(grams)
        out.write(f"{celsius},{pressure:.3f},{grams:.5f}\n")
