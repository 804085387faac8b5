"""The review of a shop on paper: what to look at, worst first, and what to do about it. Start at `shop_review`.

`kinds` names every kind of finding; the modules beside it look for them, one subject each, and run nothing.
"""
