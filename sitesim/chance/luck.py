"""Uniform numbers keyed by what they are for, so that nobody's luck depends on anybody else's.

A number is hashed from the study's seed, the run, the stream (a quantity and the thing it belongs to) and an
ordinal within it. There is no cursor: asking in another order, or for more, changes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from hashlib import blake2b
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from sitesim.chance.distributions import Distribution

_MASK = 0xFFFF_FFFF_FFFF_FFFF

# The step and the two multipliers of splitmix64 (Steele, Lea & Flood 2014, "Fast splittable pseudorandom
# number generators"; multipliers: Stafford's thirteenth variant).
_STEP = 0x9E37_79B9_7F4A_7C15
_FIRST = 0xBF58_476D_1CE4_E5B9
_SECOND = 0x94D0_49BB_1331_11EB

# The top 52 bits and a half: the largest fraction that still stays exactly below 1.
_UNIT = 2.0**-52


@cache
def stream(*parts: str) -> int:
    """Return the 64-bit key of a quantity and the thing it belongs to.

    Parameters: parts, one or more names, such as a quantity, a building and a task. Their lengths are part
    of the key, so ("ab", "c") and ("a", "bc") differ. Raises ValueError without any part.
    """
    if not parts:
        raise ValueError("stream: at least one name is needed, got none")
    return _digest("".join(f"{len(part)}:{part}" for part in parts))


class Luck:
    """All the luck of one run of a study.

    Parameters: seed, the study's; run, the number of the run. Both are part of every key.
    """

    __slots__ = ("_drawn", "_firsts", "_key", "run", "seed")

    def __init__(self, seed: int, run: int) -> None:
        self.seed = seed
        self.run = run
        self._key = _digest(f"seed {seed} run {run}")
        self._drawn: dict[int, float] = {}
        self._firsts: dict[int, int] = {}

    def __repr__(self) -> str:
        return f"Luck(seed={self.seed}, run={self.run})"

    def uniform(self, stream: int, ordinal: int = 0) -> float:
        """Return the uniform number in the open interval (0, 1) of a `stream` key and an `ordinal` >= 0."""
        if ordinal == 0 and stream in self._drawn:
            return self._drawn[stream]
        z = self._firsts.get(stream)
        if z is None:
            z = self._firsts[stream] = _mixed_one((stream + self._key) & _MASK)
        # Written out rather than called: this is the innermost line of a run.
        z = (z + (ordinal + 1) * _STEP) & _MASK
        z = ((z ^ (z >> 30)) * _FIRST) & _MASK
        z = ((z ^ (z >> 27)) * _SECOND) & _MASK
        return (((z ^ (z >> 31)) >> 12) + 0.5) * _UNIT

    def keep(self, streams: Sequence[int], numbers: Sequence[float]) -> None:
        """Keep the first numbers of streams, drawn with `uniforms` many at once, for `uniform` to find."""
        self._drawn.update(zip(streams, numbers, strict=True))

    def uniforms(self, streams: NDArray[np.uint64], ordinals: NDArray[np.integer] | int = 0) -> NDArray[np.float64]:
        """Return the uniform numbers of many keys at once, equal to `uniform` bit for bit.

        Parameters: streams, uint64 array of keys; ordinals, one number >= 0 or an array that broadcasts
        against streams. The result has the broadcast shape.
        """
        keys = np.asarray(streams, dtype=np.uint64)
        steps = np.asarray(ordinals).astype(np.uint64)
        with np.errstate(over="ignore"):  # wrapping round 2**64 is what the hash is made of
            z = _mixed(keys + np.uint64(self._key))
            z = _mixed(z + (steps + np.uint64(1)) * np.uint64(_STEP))
            fractions = (z >> np.uint64(12)).astype(np.float64)
        return np.asarray((fractions + 0.5) * _UNIT)

    def draw(self, distribution: Distribution, stream: int, ordinal: int = 0) -> float:
        """Return the value that this luck gives a `distribution`, in its own unit."""
        return distribution.inverse(self.uniform(stream, ordinal))


def _digest(text: str) -> int:
    return int.from_bytes(blake2b(text.encode(), digest_size=8).digest(), "little")


def _mixed_one(z: int) -> int:
    z = ((z ^ (z >> 30)) * _FIRST) & _MASK
    z = ((z ^ (z >> 27)) * _SECOND) & _MASK
    return z ^ (z >> 31)


def _mixed(z: NDArray[np.uint64]) -> NDArray[np.uint64]:
    z = (z ^ (z >> np.uint64(30))) * np.uint64(_FIRST)
    z = (z ^ (z >> np.uint64(27))) * np.uint64(_SECOND)
    return z ^ (z >> np.uint64(31))
