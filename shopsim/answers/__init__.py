"""What is asked of a shop, and the document that answers it: one module a question.

A `Question` holds all that its answer depends on. It runs a study and turns what was found into plain values: exactly
what `--json` prints and what the front end shows, so that both say the same. Start at `question.py`.
"""
