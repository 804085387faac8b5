"""Experiments with a shop: the same question asked of many replications."""
