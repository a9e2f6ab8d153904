"""Random draws that are the same everywhere: only `random.random()` of a seeded stream is used.

Python promises the same `random()` for the same seed in every version; of its other draws it does not.
Each case has a stream of its own, named by what it is for, so that a change in one part of the
simulation leaves the others as they were.
"""

import math
import random


class Dice:
    def __init__(self, *name):
        self.random = random.Random("/".join(str(part) for part in name)).random

    def chance(self, p):
        return self.random() < p

    def between(self, low, high):
        """A whole number from low to high, both included."""
        return low + int(self.random() * (high - low + 1))

    def pick(self, items):
        return items[int(self.random() * len(items))]

    def weighted(self, weights):
        """A key of a dict of weights."""
        left = self.random() * math.fsum(weights.values())
        for key, weight in weights.items():
            left -= weight
            if left < 0:
                return key
        return [key for key, weight in weights.items() if weight > 0][-1]

    def some(self, items, count):
        """`count` different items, in the order drawn."""
        rest, out = list(items), []
        while rest and len(out) < count:
            out.append(rest.pop(int(self.random() * len(rest))))
        return out

    def normal(self):
        """Box and Muller 1958."""
        return math.sqrt(-2 * math.log(1 - self.random())) * math.cos(2 * math.pi * self.random())

    def exponential(self, mean):
        return -mean * math.log(1 - self.random())

    def gamma(self, shape):
        """Mean 1. Marsaglia and Tsang 2000; below shape 1 by their own boost."""
        if shape < 1:
            return self.gamma(shape + 1) * (shape + 1) / shape * (1 - self.random()) ** (1 / shape)
        d = shape - 1 / 3
        while True:
            x = self.normal()
            v = (1 + x / math.sqrt(9 * d)) ** 3
            if v > 0 and math.log(1 - self.random()) < x * x / 2 + d - d * v + d * math.log(v):
                return d * v / shape
