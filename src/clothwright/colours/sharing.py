"""How many turns each ball gives to an order: what is to be used up first, the rest in proportion to what there is.

A yarn of n turns that may not lie more than r together needs others to part its runs. With T turns there are T − n others,
which part at most T − n + 1 runs (one fewer for each edge it may not stand at), so that

    n ≤ r (T − n + g)   and so   n ≤ r (T + g) / (1 + r),     g = 1, or −1 where it stands at neither edge.

Within a yarn the small balls go first: what is left for the weft is then in few large balls.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from clothwright.colours.rules import Rules, Taken


class Short(ValueError):
    """No counts can do what the rules ask; the message says why, in one sentence."""


def share_out(balls: Sequence[Taken], rules: Rules) -> dict[Taken, int]:
    """Turns from each ball, adding up to those asked for; Short when no counts can."""
    most = {yarn: most_turns(balls, rules, yarn) for yarn in yarns_of(balls)}
    wanted = {yarn: most_there(balls, rules, yarn) for yarn in most if yarn in rules.use_up}
    _check_used_up(wanted, most, rules)
    left = rules.turns - sum(wanted.values())
    rest = {yarn: count for yarn, count in most.items() if yarn not in wanted}
    if left < 0:
        raise Short(
            f"{_and(sorted(wanted))} to be used up {'give' if len(wanted) > 1 else 'gives'} "
            f"{rules.counted(sum(wanted.values()))}, and the order has {rules.turns}"
        )
    held = _held_of(rules, rest)
    if sum(held.values()) > left:
        raise Short(
            f"{_and(sorted(wanted))} to be used up {'leave' if len(wanted) > 1 else 'leaves'} {rules.counted(left)}, and "
            f"{rules.counted(sum(held.values()))} of others are held"
        )
    if sum(rest.values()) < left:
        raise Short(_too_few(balls, rules, most, sum(wanted.values()) + sum(rest.values())))
    counts = wanted | _in_proportion(left, rest, held)
    return {ball: count for yarn, used in counts.items() for ball, count in _from_balls(balls, yarn, used)}


def yarns_of(balls: Sequence[Taken]) -> tuple[str, ...]:
    """The yarns of the balls, in their order."""
    return tuple(dict.fromkeys(ball.yarn for ball in balls))


def most_there(balls: Sequence[Taken], rules: Rules, yarn: str) -> int:
    """The most turns a yarn's balls give, what is kept for the weft left out."""
    there = sum(ball.most for ball in balls if ball.yarn == yarn)
    return min(there, rules.most_of.get(yarn, there))


def most_turns(balls: Sequence[Taken], rules: Rules, yarn: str) -> int:
    """The most turns of a yarn that an order can hold: what there is, and what its longest run allows."""
    return min(most_there(balls, rules, yarn), _most_parted(rules, yarn))


def _most_parted(rules: Rules, yarn: str) -> int:
    if rules.longest_run is None:
        return rules.turns
    gaps = -1 if yarn in rules.not_at_edges else 1
    return max(0, rules.longest_run * (rules.turns + gaps) // (1 + rules.longest_run))


def _check_used_up(wanted: Mapping[str, int], most: Mapping[str, int], rules: Rules) -> None:
    for yarn, count in wanted.items():
        if count > most[yarn]:
            raise Short(
                f"{yarn} to be used up gives {rules.counted(count)}, and of {rules.counted(rules.turns)} no more than {most[yarn]} can be "
                f"{yarn} with at most {rules.longest_run} together"
            )


def _too_few(balls: Sequence[Taken], rules: Rules, most: Mapping[str, int], can: int) -> str:
    there = sum(most_there(balls, rules, yarn) for yarn in most)
    if there < rules.turns:
        return f"the balls give {rules.counted(there)} and {rules.turns} are asked for: {rules.turns - there} too few"
    bound = _and([f"{count} of {yarn}" for yarn, count in most.items() if count < most_there(balls, rules, yarn)])
    return (
        f"with at most {rules.longest_run} of a yarn together no more than {bound} can be used, "
        f"so that {rules.counted(can)} can be filled of {rules.turns}"
    )


def _held_of(rules: Rules, yarns: Mapping[str, int]) -> dict[str, int]:
    held = list(rules.fixed.values())
    return {yarn: min(held.count(yarn), most) for yarn, most in yarns.items()}


def _in_proportion(total: int, most: Mapping[str, int], least: Mapping[str, int]) -> dict[str, int]:
    """So many shared out in proportion to `most`, none below `least`: whole numbers by the largest remainders."""
    there = sum(most.values())
    exact = {yarn: total * count / there if there else 0.0 for yarn, count in most.items()}
    counts = {yarn: max(least.get(yarn, 0), int(exact[yarn])) for yarn in most}
    by_remainder = sorted(most, key=lambda yarn: (counts[yarn] - exact[yarn], yarn))
    while sum(counts.values()) < total:
        counts[next(yarn for yarn in _turning(by_remainder, counts, exact) if counts[yarn] < most[yarn])] += 1
    while sum(counts.values()) > total:
        over = [yarn for yarn in reversed(by_remainder) if counts[yarn] > least.get(yarn, 0)]
        counts[max(over, key=lambda yarn: counts[yarn] - exact[yarn])] -= 1
    return counts


def _turning(yarns: Sequence[str], counts: Mapping[str, int], exact: Mapping[str, float]) -> list[str]:
    """The yarns, those furthest below their share first."""
    return sorted(yarns, key=lambda yarn: counts[yarn] - exact[yarn])


def _from_balls(balls: Sequence[Taken], yarn: str, used: int) -> list[tuple[Taken, int]]:
    """Turns from each of a yarn's balls, the smallest balls first."""
    taken = []
    for ball in sorted((ball for ball in balls if ball.yarn == yarn), key=lambda ball: (ball.most, ball.number)):
        taken.append((ball, min(ball.most, used)))
        used -= taken[-1][1]
    return taken


def _and(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)
