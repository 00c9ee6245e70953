"""Exact 95 % intervals of a rate, by scipy: /usr/bin/python3 clopper-pearson.py > clopper-pearson.json"""

import json

from scipy.stats import beta

CASES = [(0, 167), (0, 20), (1, 40), (19, 20), (20, 20), (314, 333), (7, 2000)]


def interval(hits, count):
    low = 0.0 if hits == 0 else beta.ppf(0.025, hits, count - hits + 1)
    high = 1.0 if hits == count else beta.ppf(0.975, hits + 1, count - hits)
    one_sided = 1.0 if hits == count else beta.ppf(0.95, hits + 1, count - hits)
    return {"hits": hits, "count": count, "interval": [low, high], "atMost": one_sided}


print(json.dumps([interval(*case) for case in CASES], indent=1))
