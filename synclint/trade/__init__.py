"""The arithmetic of the trade: rates, labels, samples, speeds, drift, levels and quantities with units.

Pure functions and frozen values, exact integers and fractions, standard library only. Import from the modules:
`rates`, `labels`, `samples`, `speed`, `drift`, `circuit`, `levels`, `quantities`.
"""
