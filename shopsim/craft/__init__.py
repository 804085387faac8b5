"""The trade's arithmetic as pure functions of numbers: no clock, no randomness, no models.

Lengths are metres, areas square metres, temperatures degrees Celsius, money generic currency units (CU); every name
carries its unit. Row ids such as ``PRN-07`` point into the trade handbook. A number outside what is possible raises
`ValueError` with the value found and what is allowed.
"""
