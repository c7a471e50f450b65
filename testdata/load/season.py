#!/usr/bin/env python3
"""What `tidemark load --json` must answer for season.csv, by brute force: plain lists and the definitions as they
are published or, where nobody published one, as the project fixed them. It shares nothing with the program."""
import csv, datetime, gzip, json, math, os
from fractions import Fraction as F

HERE = os.path.dirname(os.path.abspath(__file__))
AS_OF = 420                                        # day number in the diary; day 1 = 2025-01-06
EXTRA = [20, 56, 58, 100, 110, 118, 126, 140, 155, 162, 184, 200, 212, 217, 236, 238, 243, 250, 285, 291, 298, 305, 310, 340, 365, 375, 381, 390, 405, 413]
MEASURES = ["distance", "time", "run_distance", "run_time", "exertion", "steps"]
UNIT = {"distance": "km", "run_distance": "km", "time": "min", "run_time": "min", "exertion": "AU", "steps": "count"}
# loads are kept as whole numbers (millimetres, milliseconds; AU in rpe x ms; steps); divisor to the unit:
DIV = {"distance": 10**6, "run_distance": 10**6, "time": 60000, "run_time": 60000, "exertion": 60000, "steps": 1}
FLOOR = {"distance": 5 * 10**6, "run_distance": 5 * 10**6, "time": 30 * 60000, "run_time": 30 * 60000, "exertion": 0, "steps": 0}
D0 = datetime.date(2025, 1, 6)

def day_no(s): return (datetime.date.fromisoformat(s) - D0).days + 1
def iso(d): return (D0 + datetime.timedelta(d - 1)).isoformat()

# ---------------------------------------------------------------- the diary
def half_up(x): return math.floor(x + F(1, 2))
def whole(x, what):
    n = half_up(x)
    assert abs(x - n) != F(1, 2), ("tie", what)
    return n
def read(path):
    out = []
    for r in csv.DictReader(open(path, encoding="utf-8")):
        q = lambda c: F(r[c]) if r[c] != "" else None
        x = {"day": day_no(r["date"]), "start": r["start"], "kind": r["kind"] or "run", "race": r["race"] == "yes"}
        x["m"] = q("distance_km")                                       # km, exact
        x["t"] = q("duration_min")                                      # min, exact
        x["run"] = q("run_min") if r["run_min"] != "" else x["t"]       # default: the duration of a run
        x["rpe"] = q("rpe"); x["steps"] = q("steps")
        hh, mm = (r["start"] or "12:00").split(":")                     # no start = 12:00
        x["at"] = (x["day"] * 1440 + int(hh) * 60 + int(mm)) * 60000    # start instant in ms, UTC
        x["typed_start"] = r["start"] != ""
        out.append(x)
    return out

# ---------------------------------------------------------------- the measures of one run (None = lacks it)
def load_of(x, measure):
    m, t, run = x["m"], x["t"], x["run"]
    if measure == "distance": return None if m is None else whole(m * 10**6, "mm")
    if measure == "time": return None if t is None else whole(t * 60000, "ms")
    if measure == "run_time": return None if run is None else whole(run * 60000, "ms")
    if measure == "run_distance":                                       # distance x run_min / duration
        if m is None: return None
        return whole(m * 10**6 * (run / t if t else 1), "mm")
    if measure == "exertion":                                           # session RPE times minutes (Foster et al. 2001)
        return None if x["rpe"] is None or t is None else whole(x["rpe"] * t * 60000, "AU")
    if measure == "steps":                                              # 164 + 10 (v - 3) steps/min, project default
        if x["steps"] is not None: return int(x["steps"])
        if m is None or t is None: return None
        v = m * 1000 / (t * 60)
        cad = min(F(200), max(F(140), 164 + 10 * (v - 3)))
        return whole(cad * run, "steps")

# ---------------------------------------------------------------- "tidemark": sessions, those less than 30 min apart are one
def sessions_of(rows, measure):
    runs = sorted((r for r in rows if r["kind"] == "run"), key=lambda r: r["at"])
    out, chain_end = [], None
    for r in runs:
        end = r["at"] + (int(r["t"] * 60000) if r["t"] is not None else 0)      # no duration = ends at its start
        if r["typed_start"] and chain_end is not None and r["at"] - chain_end < 30 * 60000:
            s = next(s for s in reversed(out) if s["typed_start"])
            s["parts"].append(r); chain_end = max(chain_end, end)
        else:
            s = {"day": r["day"], "at": r["at"], "start": r["start"] or "12:00", "parts": [r], "typed_start": r["typed_start"]}
            out.append(s)
            if r["typed_start"]: chain_end = end
    for s in out:
        got = [v for v in (load_of(p, measure) for p in s["parts"]) if v is not None]
        s["load"] = sum(got) if got else None                # the parts that have the measure
        s["race"] = any(p["race"] for p in s["parts"])
    return out

WINDOW = 30 * 24 * 3600000
def tidemark_at(sess, at):                                   # the far end included
    w = [s["load"] for s in sess if s["load"] is not None and at - WINDOW <= s["at"] < at]
    return max(w) if w and max(w) > 0 else None
def tidemark_day(sess, d):                                   # on a day row
    w = [s["load"] for s in sess if s["load"] is not None and d - 30 <= s["day"] <= d - 1]
    return max(w) if w and max(w) > 0 else None

def coarse(v, measure):                                      # whole metres, whole seconds
    return half_up(F(v, 1000)) if DIV[measure] != 1 and measure != "exertion" else v
def over10(a, b, measure):
    r = 10 * coarse(a, measure) > 11 * coarse(b, measure)
    assert r == (10 * (a // 1000) > 11 * (b // 1000)) or measure in ("exertion", "steps"), "rounding of metres decides"
    return r
def klass(a, b):                                             # distance only
    a, b = a // 1000, b // 1000                              # typed distances are whole metres
    return "none" if 10 * a <= 11 * b else "small" if 10 * a <= 13 * b else "moderate" if a <= 2 * b else "large"

# ---------------------------------------------------------------- "break": class in force on each day (0 none, 1..3), with the last run before it
def ends_break(x):                                           # a run under 0.5 km (3 min) does not
    if x["m"] is not None: return x["m"] >= F(1, 2)
    return x["t"] >= 3
def breaks(rows, last_day):
    rd = sorted({r["day"] for r in rows if r["kind"] == "run" and ends_break(r)})
    out, c, anchor, before, prev = {}, 0, None, None, None
    for d in range(1, last_day + 1):
        if prev is not None:
            n = d - prev
            if n >= 8:
                c = max(c, 1 if n <= 14 else 2 if n <= 28 else 3); anchor = None; before = prev
        if anchor is not None and d - anchor == 7:           # lifted by one class for each 7 days with runs
            c -= 1; anchor = d if c > 0 else None
        if c > 0 and anchor is None and d in rd: anchor = d
        out[d] = (c, before if c > 0 else None)
        if d in rd: prev = d
    return out

# ---------------------------------------------------------------- one measure
def compute(rows, measure, as_of):
    rows = [r for r in rows if r["day"] <= as_of]
    div = DIV[measure]; u = lambda v: None if v is None else float(F(v) / div)
    first = min(r["day"] for r in rows if r["kind"] == "run")             # history
    sess = sessions_of(rows, measure)

    # --- states and loads of the days
    state, load = {}, {}
    for d in range(1, as_of + 1):
        today = [r for r in rows if r["day"] == d]
        runs = [r for r in today if r["kind"] == "run"]
        parts = [load_of(r, measure) for r in runs]
        load[d] = sum(p for p in parts if p is not None)
        if any(p is None for p in parts): state[d] = "unknown"
        elif any(r["kind"] != "rest" for r in today): state[d] = "reported"
        elif today: state[d] = "rest"
        else:
            rec = [r["day"] for r in rows if r["day"] < d]
            state[d] = "assumed" if rec and d - max(rec) <= 10 else "unknown"
    known = lambda d: state[d] != "unknown"
    def span(a, b): return [load[d] for d in range(max(a, first), b + 1)]

    # --- held sessions, counted lengths, held tidemark (no complaint, no mornings)
    brk = breaks(rows, as_of)
    def within(s):                                           # at most 10 % over the longest earlier tolerated run of 30 x 24 h
        w = [x["load"] for x in sess if x["load"] is not None and not x["race"] and s["at"] - WINDOW <= x["at"] < s["at"]]
        return bool(w) and not over10(s["load"], max(w), measure)
    for s in sess:
        if s["load"] is not None: s["within"] = within(s)
    def held(s, d):                                          # the seven days right after it, all uneventful
        if s["race"]: return False
        if s["within"]: return True
        return d >= s["day"] + 7 and all(brk[e][0] == 0 for e in range(s["day"] + 1, s["day"] + 8))
    ht = {}
    def counted(s, d):
        if held(s, d): return s["load"]
        h = ht[s["day"]]
        return None if h is None else min(s["load"], h)
    for d in range(1, as_of + 1):
        w = [counted(s, d) for s in sess if s["load"] is not None and d - 30 <= s["day"] <= d - 1]
        w = [v for v in w if v is not None]
        ht[d] = max(w) if w and max(w) > 0 else None

    # --- sessions[]
    out_s = []
    for s in sess:
        tm = tidemark_at(sess, s["at"])
        lacks = any(load_of(p, measure) is None for p in s["parts"])     # a part of it was not recorded: no spike of a lower bound
        s["spike"] = None if tm is None or lacks else F(s["load"], tm) - 1
        s["class"] = klass(s["load"], tm) if measure == "distance" and s["spike"] is not None else None
        out_s.append({"day": iso(s["day"]), "start": s["start"], "load": u(s["load"]), "tidemark": u(tm), "held_tidemark": u(ht[s["day"]]),
                      "spike": None if s["spike"] is None else float(s["spike"]), "spike_class": s["class"]})

    # --- days[]
    out_d = []
    for d in range(first, as_of + 1):
        hist = d - first + 1
        un, row = {}, {"date": iso(d), "load": u(load[d]), "state": state[d]}
        block = lambda k: sum(span(d - 7 * k - 6, d - 7 * k))             # k = 0: A, 1..3: W1..W3
        A, W1, W2, W3 = (block(k) for k in range(4))
        row["acute"] = u(A)
        k28 = [e for e in range(max(first, d - 27), d + 1) if known(e)]
        cc, cu = F(A + W1 + W2 + W3, 4), F(W1 + W2 + W3, 3)
        for name, div_, val in (("coupled", cc, A), ("uncoupled", cu, A)):
            row["chronic_" + name] = u(div_) if hist >= 28 else None
            if hist < 28: un["chronic_" + name] = "history"
            why = "history" if hist < 28 else "unknown-days" if len(k28) < 24 else "floor" if div_ < FLOOR[measure] or div_ == 0 else None
            row["ratio_" + name] = float(F(val) / div_) if why is None else None
            if why: un["ratio_" + name] = why
        e7 = e28 = None                                                   # normalised over the known days, lag in days
        ks = [e for e in range(first, d + 1) if known(e)]
        if ks:
            ew = []
            for n in (7, 28):
                lam = 2.0 / (n + 1)
                num = math.fsum((1 - lam) ** (d - e) * load[e] for e in ks); den = math.fsum((1 - lam) ** (d - e) for e in ks)
                ew.append(num / den / div)
            e7, e28 = ew
        row["ewma_acute"], row["ewma_chronic"] = e7, e28
        if not ks: un["ewma_acute"] = un["ewma_chronic"] = "unknown-days"
        why = "history" if hist < 28 else "unknown-days" if len(k28) < 24 or not ks else "floor" if e28 == 0 else None
        row["ratio_ewma"] = e7 / e28 if why is None else None
        if why: un["ratio_ewma"] = why
        if hist < 14:
            row["week_change"] = row["week_change_share"] = None
            un["week_change"] = un["week_change_share"] = "history"
        else:
            row["week_change"] = u(A - W1)
            row["week_change_share"] = float(F(A - W1, W1)) if W1 else None
            if not W1: un["week_change_share"] = "zero-week"
        seven = span(d - 6, d)                                            # sample SD
        why = "history" if hist < 7 else "unknown-days" if not all(known(e) for e in range(d - 6, d + 1)) else "no-variation" if len(set(seven)) == 1 else None
        row["monotony"] = row["strain"] = None
        if why: un["monotony"] = un["strain"] = why
        else:
            mean = F(sum(seven), 7); var = sum((x - mean) ** 2 for x in seven) / 6
            row["monotony"] = float(mean) / math.sqrt(var); row["strain"] = u(A) * row["monotony"]
        tm = tidemark_day(sess, d)
        row["tidemark"], row["held_tidemark"] = u(tm), u(ht[d])
        if tm is None: un["tidemark"] = "no-tidemark"
        if ht[d] is None: un["held_tidemark"] = "no-tidemark"
        mine = [s for s in sess if s["day"] == d]
        spk = [s for s in mine if s["spike"] is not None]
        row["spike"] = row["spike_class"] = None
        if spk:
            worst = max(spk, key=lambda s: s["spike"])
            row["spike"], row["spike_class"] = float(worst["spike"]), worst["class"]
        else: un["spike"] = "no-tidemark" if any(all(load_of(p, measure) is not None for p in s["parts"]) for s in mine) else "not-recorded"
        row["known_days_28"] = len(k28)
        row["known_days_7"] = sum(known(e) for e in range(max(first, d - 6), d + 1))
        row["known_days_30"] = sum(known(e) for e in range(max(first, d - 30), d))
        row["spike_upper_bound"] = row["known_days_30"] < len(range(max(first, d - 30), d))
        blind = sum(not known(e) for e in range(max(first, d - 6), d + 1))
        ran = sorted(load[e] for e in range(max(first, d - 364), d + 1) if known(e) and any(r["kind"] == "run" and r["day"] == e for r in rows))
        row["acute_most"] = u(A + blind * ran[math.ceil(F(9 * len(ran), 10)) - 1]) if ran else u(A) if blind == 0 else None
        if row["acute_most"] is None: un["acute_most"] = "unknown-days"
        row["undefined"] = un
        row["provisional"], row["settling"] = hist < 30, hist < 84
        row["assumed_days_28"] = sum(state[e] == "assumed" for e in range(max(first, d - 27), d + 1))
        out_d.append(row)

    # --- headroom, for distances and times
    isdist = div == 10**6
    STEP_IN = 2880 * 1000 if isdist else 20 * 60000
    GROW_S = 500 * 1000 if isdist else 3 * 60000
    WK_MIN, WK_MAX = (2 * 10**6, 12 * 10**6) if isdist else (10 * 60000, 60 * 60000)
    def grow_session(t): return t + max(t * 10 // 100, GROW_S)
    def median(v):
        v = sorted(v); n = len(v)
        return v[n // 2] if n % 2 else (v[n // 2 - 1] + v[n // 2]) // 2    # shares down to whole mm/ms
    def limits(d, before=None):
        """the limits on day d; with `before` only what started before that instant counts as run"""
        S = [s for s in sess if s["load"] is not None and s["day"] <= d and (before is None or s["at"] < before)]
        today = sum(s["load"] for s in S if s["day"] == d) if before is not None else load[d]
        acute = sum(span(d - 6, d - 1)) + today
        cl = lambda s: counted(s, d) or 0
        daysum = lambda e: sum(cl(s) for s in S if s["day"] == e)
        def b7(at, newest=7, oldest=34):
            ends = [e for e in range(at - oldest, at - newest + 1) if e - 6 >= first]
            if ends: return max(sum(daysum(x) for x in range(e - 6, e + 1)) for e in ends)
            return max(sum(span(first, at - newest)), 3 * STEP_IN)        # what was run, or a beginner's week
        rowsL = []
        old = [s for s in S if 7 <= d - s["day"] <= 30]
        t7s = [counted(s, d) for s in old]; t7s = [v for v in t7s if v]
        c, r = brk[d]
        def put(rule, lim, val, **more): rowsL.append(dict({"rule": rule, "amount": max(0, lim - val), "value": val, "limit": lim}, **more))
        if t7s:
            put("session", grow_session(max(t7s)), 0)
            put("day", grow_session(max(daysum(e) for e in range(d - 30, d - 6))), today)
        if c == 0 and t7s:
            B = b7(d)
            g = max(min(B * 30 // 100, WK_MAX), WK_MIN)
            W = [sum(span(d - 7 * k - 6, d - 7 * k)) for k in range(5)]
            whole_hist = d - 34 >= first
            if whole_hist and all(100 * W[k] > 105 * W[k + 1] for k in (1, 2, 3)): g = 0
            put("week", B + g, acute, b7=B, growth=g)
        elif c in (1, 2):
            q = 1 if c == 1 else 2
            ss = [cl(s) for s in S if r - 27 <= s["day"] <= r]; ss = [v for v in ss if v]
            dd = [daysum(e) for e in range(r - 27, r + 1)]; dd = [v for v in dd if v]
            if ss:
                B = b7(r)
                parts = [("session", median(ss) // q, 0), ("day", median(dd) // q, today), ("week", B * 75 // 100 if c == 1 else B // 2, acute)]
            else: parts = [("session", STEP_IN, 0), ("day", STEP_IN, today)]
            p = min(parts, key=lambda p: p[1] - p[2])
            put("break", p[1], p[2], break_class=c, part=p[0], parts=[{"part": a, "limit": u(b), "value": u(v)} for a, b, v in parts])
        else:                                                             # step-in
            parts = [("session", STEP_IN, 0), ("day", STEP_IN, today)]
            p = min(parts, key=lambda p: p[1] - p[2])
            put("break", p[1], p[2], break_class=c, part=p[0], parts=[{"part": a, "limit": u(b), "value": u(v)} for a, b, v in parts])
        return rowsL, (max(t7s) if t7s else None)
    def over_limits(s):                                                   # a race, by the limits before it
        L_, _ = limits(s["day"], s["at"])
        return s["load"] > min(x["amount"] for x in L_)
    def headroom(d):
        L_, t7 = limits(d)
        st = "provisional" if d - first + 1 < 30 else "open" if all(known(e) for e in range(d - 6, d + 1)) else "unknown"
        races = [s for s in sess if s["race"] and s["load"] is not None and s["day"] <= d]
        for s in races:
            if 1 <= d - s["day"] <= 10 and over_limits(s):
                if d - s["day"] <= 3: L_.append({"rule": "race", "amount": 0, "value": 0, "limit": 0, "after_race": True}); st = "held"
                else: h = (t7 or STEP_IN) // 2; L_.append({"rule": "race", "amount": h, "value": 0, "limit": h, "after_race": True})
        us = [load[d - 7 * k] for k in range(1, 9) if d - 7 * k >= first and load[d - 7 * k] > 0]
        x = min(L_, key=lambda x: (x["amount"], not x.get("after_race") or x["limit"] > 0))   # what holds back has the say
        if any(s["day"] == d for s in races): st = "race"
        conv = lambda x: {k: (u(v) if k in ("amount", "value", "limit", "b7", "growth") else v) for k, v in x.items()}
        return {"measure": measure, "state": st, "amount": None if st == "race" else u(x["amount"]), "unit": UNIT[measure],
                "decides": None if st == "race" else x["rule"], "usual": u(median(us)) if len(us) >= 3 else None, "limits": [conv(x) for x in L_]}
    res = {"measure": measure, "unit": UNIT[measure], "days": out_d, "sessions": out_s}
    if measure in ("distance", "run_distance", "time", "run_time"): res["headroom"] = headroom(as_of)
    else: res["headroom"] = None
    res["_break"] = {iso(d): brk[d][0] for d in brk if brk[d][0]}
    return res

def main():
    rows = read(os.path.join(HERE, "season.csv"))
    out = {"as_of": iso(AS_OF), "measures": {}, "extra_headroom": {}, "break_class": None}
    for m in MEASURES:
        r = compute(rows, m, AS_OF); out["break_class"] = r.pop("_break"); out["measures"][m] = r
    for d in EXTRA:
        out["extra_headroom"][iso(d)] = {m: compute(rows, m, d)["headroom"] for m in ("distance", "run_time")}
    txt = json.dumps(out, indent=1)
    with open(os.path.join(HERE, "season.json.gz"), "wb") as f:
        with gzip.GzipFile(fileobj=f, mode="wb", mtime=0, filename="") as g: g.write(txt.encode())

if __name__ == "__main__":
    main()
