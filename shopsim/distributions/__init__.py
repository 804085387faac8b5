"""Frozen probability distributions of one number: a time, a size, a count, a share.

The unit is that of the field which holds the distribution. All have ``mean``, ``variance``, ``scaled(factor)``,
``describe()`` and ``sample(rng, n)``. Samples are prefix stable: the first k of a longer sample from a fresh generator
are the sample of k, and two samples in a row are the one of both lengths, so that a longer horizon or another block
size changes no earlier draw.
Constructors raise ValueError with the value found; so does ``scaled`` unless the factor is positive and finite.
"""

from shopsim.distributions.formulas import Erlang, Exponential, Fixed, Gamma, LogNormal, Triangular, Uniform
from shopsim.distributions.listed import Discrete, Empirical
from shopsim.distributions.weibull import Weibull, weibull_cv

Distribution = Fixed | Uniform | Triangular | Exponential | Gamma | Erlang | LogNormal | Weibull | Empirical | Discrete

__all__ = [
    "Discrete",
    "Distribution",
    "Empirical",
    "Erlang",
    "Exponential",
    "Fixed",
    "Gamma",
    "LogNormal",
    "Triangular",
    "Uniform",
    "Weibull",
    "weibull_cv",
]
