"""Writes windows.csv: the windows of three invented runners, straight from the
definitions, with sums written out day by day and weights in closed form.

It shares nothing with the program, which is the point of it.
Run: python3 windows.py > windows.csv
"""

import random
import statistics
from datetime import date, timedelta

FIRST = date(2026, 3, 2)


def story(name, days, seed, gap):
    """Loads in whole metres: about four runs a week, none in the gap."""
    rng = random.Random(seed)
    loads = []
    for i in range(days):
        runs = rng.random() < 4 / 7 and not (gap[0] <= i < gap[1])
        loads.append(rng.randrange(2000, 15001) if runs else 0)
    loads[0] = 5000
    return name, loads


STORIES = [
    story("steady", 150, 11, (0, 0)),
    story("gap of 16 days", 130, 12, (60, 76)),
    story("two months off", 160, 13, (50, 110)),
]


def known(loads):
    """A day without a run counts as rest for ten days after the last run."""
    out, last = [], 0
    for i, load in enumerate(loads):
        if load:
            last = i
        out.append(i - last <= 10)
    return out


def rows(loads):
    flags = known(loads)
    km = [load / 1000 for load in loads]

    def week(i):
        return sum(loads[max(0, i - 6) : i + 1]) / 1000 if i >= 0 else 0.0

    def mean(i, n):
        lam = 2 / (n + 1)
        num = sum((1 - lam) ** (i - j) * km[j] for j in range(i + 1) if flags[j])
        den = sum((1 - lam) ** (i - j) for j in range(i + 1) if flags[j])
        return num / den

    for i in range(len(loads)):
        history = i + 1
        seen = sum(flags[max(0, i - 27) : i + 1])
        a, w1, w2, w3 = week(i), week(i - 7), week(i - 14), week(i - 21)
        out = {"acute": a, "ewma_acute": mean(i, 7), "ewma_chronic": mean(i, 28), "known": seen}
        coupled, uncoupled = (a + w1 + w2 + w3) / 4, (w1 + w2 + w3) / 3
        blocked = "history" if history < 28 else "unknown-days" if seen < 24 else ""
        out["chronic_coupled"] = coupled if history >= 28 else "history"
        out["chronic_uncoupled"] = uncoupled if history >= 28 else "history"
        out["ratio_coupled"] = blocked or (a / coupled if coupled >= 5 else "floor")
        out["ratio_uncoupled"] = blocked or (a / uncoupled if uncoupled >= 5 else "floor")
        out["ratio_ewma"] = blocked or (
            out["ewma_acute"] / out["ewma_chronic"] if out["ewma_chronic"] > 0 else "floor"
        )
        out["week_change"] = a - w1 if history >= 14 else "history"
        out["week_change_share"] = "history" if history < 14 else (a - w1) / w1 if w1 else "zero-week"
        last = km[max(0, i - 6) : i + 1]
        if history < 7:
            out["monotony"] = "history"
        elif not all(flags[i - 6 : i + 1]):
            out["monotony"] = "unknown-days"
        elif len(set(last)) == 1:
            out["monotony"] = "no-variation"
        else:
            out["monotony"] = statistics.mean(last) / statistics.stdev(last)
        out["strain"] = out["monotony"] if isinstance(out["monotony"], str) else out["monotony"] * a
        best = max(loads[max(0, i - 30) : i], default=0) / 1000
        out["tidemark"] = best if best else "no-tidemark"
        yield out


COLUMNS = (
    "acute chronic_coupled chronic_uncoupled ratio_coupled ratio_uncoupled ewma_acute ewma_chronic "
    "ratio_ewma week_change week_change_share monotony strain tidemark known"
).split()

print("# computed by windows.py from the published formulas; invented runners")
print("story,date,load_m," + ",".join(COLUMNS))
for name, loads in STORIES:
    for i, row in enumerate(rows(loads)):
        cells = [row[c] if isinstance(row[c], (str, int)) else f"{row[c]:.12g}" for c in COLUMNS]
        print(",".join(map(str, [name, FIRST + timedelta(days=i), loads[i], *cells])))
