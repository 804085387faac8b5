"""When to renew a worn part before it fails, where lives follow Weibull's law.

Age replacement: R. E. Barlow & L. C. Hunter, "Optimum preventive maintenance policies", Operations Research 8 (1960)
90-100 (model from memory). A part is renewed when it fails or, planned, at a certain age; what counts is the loss a
running hour in the long run. Losses are in any one unit: hours the machine stands, or money.
"""

import math

from shopsim.craft._limits import not_negative, positive

# Nothing is gained by an age that all but one part in a million fail to reach.
_LIVES_ENDED = -math.log(1e-6)


def mean_run_h(shape: float, scale_h: float, age_h: float = math.inf) -> float:
    """Running hours from one renewal to the next, planned (at `age_h`) or by failure. Raises ValueError."""
    power = 1 / positive("shape", shape)
    if math.isinf(age_h):
        return positive("scale_h", scale_h) * math.gamma(1 + power)
    x = _hazard_sum(shape, scale_h, positive("age_h", age_h))
    # The lower incomplete gamma function by its series, whose terms are all positive.
    term = total = 1 / power
    n = power
    while term > total * 1e-17:
        n += 1
        term *= x / n
        total += term
    return scale_h * power * math.pow(x, power) * math.exp(-x) * total


def loss_a_running_hour(shape: float, scale_h: float, planned: float, failed: float, age_h: float = math.inf) -> float:
    """Loss a running hour where a planned renewal costs `planned` and a failure `failed`; without age never planned.

    Raises ValueError for an impossible number.
    """
    reached = 0.0 if math.isinf(age_h) else math.exp(-_hazard_sum(shape, scale_h, age_h))
    loss = not_negative("planned", planned) * reached + positive("failed", failed) * (1 - reached)
    return loss / mean_run_h(shape, scale_h, age_h)


def best_age_h(shape: float, scale_h: float, planned: float, failed: float) -> float:
    """The age of planned renewal with the least loss; infinity where none pays: no wear, or no dear failure.

    Raises ValueError for an impossible number.
    """
    if positive("shape", shape) <= 1 or positive("failed", failed) <= not_negative("planned", planned):
        return math.inf
    wanted = planned / (failed - planned)

    def beyond(age_h: float) -> bool:
        x = _hazard_sum(shape, scale_h, age_h)
        return shape / age_h * x * mean_run_h(shape, scale_h, age_h) + math.exp(-x) - 1 > wanted

    low, high = 0.0, scale_h * math.pow(_LIVES_ENDED, 1 / shape)
    if not beyond(high):
        return math.inf
    while low < (middle := (low + high) / 2) < high:
        low, high = (low, middle) if beyond(middle) else (middle, high)
    return middle


def _hazard_sum(shape: float, scale_h: float, age_h: float) -> float:
    return math.pow(age_h / scale_h, shape)
