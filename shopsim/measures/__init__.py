"""Measures: from the records of a finished run to numbers and tidy tables. Nothing here runs a shop."""
