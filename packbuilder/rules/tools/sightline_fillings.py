"""What a line can hold of which so many digits are seen: digit by digit, or order by order."""

from __future__ import annotations

from functools import cache, lru_cache

from packbuilder.rules.tools.masks import bit, everything, least, up_to


@lru_cache(maxsize=32_768)
def visible(size: int, count: int, masks: tuple[int, ...]) -> tuple[int, ...] | None:
    """Which candidates can stand in a line of which ``count`` digits are seen, highest included.

    None where none can. Position by position, for each highest digit so far, the counts that are
    possible are a set of bits (bit s for s digits seen).
    """
    layers = [[1] + [0] * size]
    for passed, mask in enumerate(masks):
        before, after, low = layers[-1], [0] * (size + 1), least(mask)
        lower = before[0]
        for d in range(1, size + 1):
            hidden = before[d] if low < d else 0
            seen = lower << 1 if mask >> (d - 1) & 1 else 0
            lower |= before[d]
            if d > passed:  # so many different digits reach at least so high
                after[d] = hidden | seen
        layers.append(after)
    wanted = [0] * size + [layers[-1][size] & 1 << count]
    if not wanted[size]:
        return None
    kept: list[int] = []
    for before, mask in zip(layers[-2::-1], reversed(masks), strict=True):
        low, lower, hidden, keep = least(mask), 0, 0, 0
        for d in range(1, size + 1):
            lower |= before[d - 1]
            if mask >> (d - 1) & 1 and lower & wanted[d] >> 1:
                keep |= bit(d)
            if before[d] & wanted[d]:
                hidden = d
        kept.append(keep | mask & up_to(hidden - 1))
        earlier, higher = [0] * (size + 1), 0
        for d in range(size, -1, -1):
            earlier[d] = (higher | (wanted[d] if low < d else 0)) & before[d]
            if d and mask >> (d - 1) & 1:
                higher |= wanted[d] >> 1
        wanted = earlier
    return tuple(reversed(kept)) if all(kept) else None


@lru_cache(maxsize=8_192)
def orders(size: int, count: int, masks: tuple[int, ...]) -> tuple[int, ...] | None:
    """The same, exactly: over every order of the digits. Some 2 ** size steps: not for search.

    Cell by cell, for each set of digits used so far, the counts that are possible are bits.
    """
    layers: list[dict[int, int]] = [{0: 1}]
    for mask in masks:
        after: dict[int, int] = {}
        for used, seen in layers[-1].items():
            for one in _bits(mask & ~used):
                after[used | one] = after.get(used | one, 0) | seen << (one > used)
        layers.append(after)
    whole = everything(size)
    wanted = {whole: layers[-1].get(whole, 0) & 1 << count}
    if not wanted[whole]:
        return None
    kept: list[int] = []
    for before, mask in zip(layers[-2::-1], reversed(masks), strict=True):
        keep, earlier = 0, {}
        for used, seen in before.items():
            fitting = 0
            for one in _bits(mask & ~used):
                back = wanted.get(used | one, 0) >> (one > used) & seen
                if back:
                    keep |= one
                    fitting |= back
            if fitting:
                earlier[used] = fitting
        kept.append(keep)
        wanted = earlier
    return tuple(reversed(kept))


@cache
def _bits(mask: int) -> tuple[int, ...]:
    """The bits of a mask, one by one."""
    return tuple(1 << k for k in range(mask.bit_length()) if mask >> k & 1)
