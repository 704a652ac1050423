"""Writes sodium_chloride_aquasol.csv from a general-purpose library of solution chemistry.

Run beside this file, with aquasol 1.8.2 and matplotlib from PyPI: python sodium_chloride.py
"""

from importlib.metadata import version

from aquasol.solutions import water_activity

with open("sodium_chloride_aquasol.csv", "w") as out:
    out.write(f"# source: aquasol {version('aquasol')} (PyPI): water activity of sodium chloride solutions at 25 °C after Clegg (1997) and Tang (1986)\n")
    out.write("# where: sodium_chloride.py beside this file; molality in mol in a kilogram of water\n")
    out.write("# standing: read\n")
    out.write("# tolerance: 0.0014, because Clegg's and Tang's own figures differ from each other by up to 0.0009, and Pitzer's constants end at 6 mol/kg\n")
    out.write("molality,clegg,tang\n")
    for tenths in range(1, 62, 2):
        molality = tenths / 10
        clegg = water_activity("NaCl", T=25, source="Clegg", m=molality)
        tang = water_activity("NaCl", T=25, source="Tang", m=molality)
        out.write(f"{molality},{clegg:.6f},{tang:.6f}\n")
