"""`python -m tests.benchmarks`, the same as `python tests/benchmarks/run.py`."""

from tests.benchmarks.run import main

main()
