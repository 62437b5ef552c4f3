"""Drift of the sample scenario, computed a second time in NumPy and SciPy from the definitions; shares no code with the program.

Run: python3 -B drift.py FOLDER > drift-figures.json
FOLDER holds readings.json (`readings --json`), register.json (`register --export`) and readings.csv (to-csv.ts).
Taken from the program's export: which reading is a first try, and which is in the other direction.
"""
import collections
import datetime as dt
import hashlib
import json
import math
import sys

import numpy as np
import scipy
from scipy import stats

Z = 1.959963984540054
FACTOR = {'N.m': 1, 'lbf.ft': 1.3558179483314004, 'lbf.in': 0.1129848290276167, 'kgf.m': 9.80665}
folder = sys.argv[1]
readings = json.load(open(f'{folder}/readings.json'))['readings']
register = json.load(open(f'{folder}/register.json'))
joints = {j['name']: j for j in register['joints']}


def block(at):
    """Start of the shift occurrence that holds a time, or of the civil day."""
    t = dt.datetime.fromisoformat(at)
    minute = t.hour * 60 + t.minute
    for s in register['shifts']:
        a, b = (int(s[k][:2]) * 60 + int(s[k][3:]) for k in ('start', 'end'))
        day = t.date()
        if b <= a and minute < b:
            day -= dt.timedelta(days=1)
        elif not (minute >= a and (b <= a or minute < b)):
            continue
        return f"{day.isoformat()}T{s['start']}:00"
    return f'{t.date().isoformat()}T00:00:00'


def revision(joint, at):
    held = [r for r in joint['limits'] if (r['from'] if len(r['from']) > 10 else r['from'] + 'T00:00:00') <= at]
    return held[-1] if held else None


def target(r, low, middle, high):
    return r[middle] if r[middle] is not None else (r[low] + r[high]) / 2


def dummies(factors):
    names = [(k, l) for k in factors for l in sorted(set(factors[k]))]
    rows = len(next(iter(factors.values())))
    return np.array([[1.0] + [float(factors[k][r] == l) for k, l in names] for r in range(rows)]), [('', '')] + names


def null_space(a):
    _, s, vt = np.linalg.svd(a)
    rank = int((s > 1e-7 * s.max()).sum())
    return vt[rank:].T, rank


def sets_of(x, names):
    null, _ = null_space(x)
    out = {}
    for k in dict.fromkeys(f for f, _ in names if f):
        left, found = [i for i, (f, _) in enumerate(names) if f == k], []
        while left:
            same = [j for j in left if null.shape[1] == 0 or np.abs(null[left[0]] - null[j]).max() < 1e-7]
            found.append(same)
            left = [j for j in left if j not in same]
        out[k] = found
    return out


def fit(x, y, cluster):
    y = np.asarray(y, float)
    inverse = np.linalg.pinv(x, rcond=1e-7)
    coefficients = inverse @ y
    e = y - x @ coefficients
    rank = null_space(x)[1]
    groups = list(dict.fromkeys(cluster))
    n, g = len(y), len(groups)
    where = {k: [i for i in range(n) if cluster[i] == k] for k in groups}
    meat = sum(np.outer(s, s) for s in (x[w].T @ e[w] for w in where.values()))
    b = inverse @ inverse.T
    return coefficients, b @ meat @ b * g / (g - 1) * (n - 1) / (n - rank), g, rank


def effects(factors, y, cluster):
    x, names = dummies(factors)
    c, v, g, rank = fit(x, y, cluster)
    out = []
    for k, found in sets_of(x, names).items():
        m = sum(len(s) for s in found if len(s) > 1)
        for s in found:
            for j in s if len(s) > 1 else []:
                w = np.zeros(len(names))
                w[s] -= 1 / len(s)
                w[j] += 1
                half = stats.t.isf(0.05 / (2 * m), g - rank) * math.sqrt(w @ v @ w)
                out.append([k, names[j][1], float(w @ c), float(w @ c - half), float(w @ c + half)])
    return out


def move(factors, y, cluster, column, doubt=0.0):
    x, _ = dummies(factors)
    c, v, g, rank = fit(np.c_[x, column], y, cluster)
    se = math.sqrt(v[-1, -1] + doubt)
    half = stats.t.ppf(0.975, g - rank) * se
    return [float(c[-1]), float(c[-1] - half), float(c[-1] + half)], 1.96 * se


def mann_kendall(y, x, slope):
    y, n = np.asarray(y), len(y)
    s = sum(np.sign(y[i + 1:] - y[i]).sum() for i in range(n - 1))
    t = np.unique(y, return_counts=True)[1]
    var = (n * (n - 1) * (2 * n + 5) - (t * (t - 1) * (2 * t + 5)).sum()) / 18
    r = stats.rankdata(y - slope * np.asarray(x))
    r = r - r.mean()
    rho = np.array([(r[:-k] * r[k:]).sum() for k in range(1, n)]) / (r * r).sum()
    rho[np.abs(rho) <= Z / math.sqrt(n)] = 0
    i = np.arange(1, n)
    factor = 1 + 2 / (n * (n - 1) * (n - 2)) * ((n - i) * (n - i - 1) * (n - i - 2) * rho).sum()
    return float(2 * stats.norm.sf(abs((s - np.sign(s)) / math.sqrt(var * max(1, factor)))))


def pettitt(y):
    n = len(y)
    k = max(abs(sum(np.sign(y[i] - y[j]) for i in range(c) for j in range(c, n))) for c in range(1, n))
    return min(1.0, 2 * math.exp(-6 * k * k / (n ** 3 + n ** 2)))


def adjusted(p):
    names = sorted(p, key=p.get)
    low, out = 1.0, {}
    for rank in range(len(names), 0, -1):
        low = min(low, p[names[rank - 1]] * len(names) / rank)
        out[names[rank - 1]] = low
    return out


def change(y):
    y, m = np.asarray(y), len(y)
    i, one = np.arange(1, m + 1), np.ones(m)
    tau = np.arange(4, m - 3)
    rss = lambda a: float(((y - a @ np.linalg.lstsq(a, y, rcond=None)[0]) ** 2).sum())
    step = np.array([rss(np.c_[one, i > k]) for k in tau])
    ramp = np.array([rss(np.c_[one, np.maximum(0, i - k)]) for k in tau])
    bic = lambda r: m * math.log(r.min() / m) + 3 * math.log(m)
    likely = lambda r, bound: tau[m * np.log(r / r.min()) <= bound]
    shape = 'step' if bic(step) <= bic(ramp) else 'ramp'
    a, b = likely(step, 7.352), likely(ramp, 3.841)
    span = np.r_[a, b] if abs(bic(step) - bic(ramp)) < 6 else a if shape == 'step' else b
    return shape, int(tau[(step if shape == 'step' else ramp).argmin()]), int(span.min()), int(span.max())


def week(b):
    return '%d-%02d' % dt.date.fromisoformat(b[:10]).isocalendar()[:2]


# Readings into cells.
torque, stop, pairs = (collections.defaultdict(list) for _ in range(3))
used = collections.Counter()
for r in readings:
    if r['at'] is None or len(r['at']) < 12 or r['tool'] is None:
        continue
    b = block(r['at'])
    used[r['tool'], b] += 1
    joint = joints.get(r['joint'])
    if joint is None or r['attempt'] != 1 or r['excluded'] or r['unjudgedBecause'] == 'other-direction':
        continue
    limits = revision(joint, r['at'])
    if limits is None or r['torque'] is None:
        continue
    by_angle = joint['stopsBy'] == 'angle'
    key = (r['joint'], r['operator'] or '', r['tool'], b)
    t = abs(r['torque'])
    shown, aim = t / FACTOR[limits['unit']], target(limits, 'low', 'target', 'high')
    angle = None if r['angle'] is None else abs(r['angle'])
    if by_angle and angle is None:
        continue
    torque[key].append(100 * (shown - aim) / aim)
    if by_angle:
        aim = target(limits, 'angleLow', 'angleTarget', 'angleHigh')
        stop[key].append(100 * (angle - aim) / aim)
        pairs[key].append((angle, t))
    else:
        stop[key].append(torque[key][-1])
        if angle is not None:
            pairs[key].append((t, angle))

by_angle = {name for name, j in joints.items() if j['stopsBy'] == 'angle'}
balance = collections.Counter()
for key, values in stop.items():
    balance[key[2]] += len(values) * (1 if key[0] in by_angle else -1)
of_kind = lambda key: (key[0] in by_angle) == (balance[key[2]] > 0)
factors = lambda keys, tool=lambda k: k[2], person=lambda k: k[1]: {
    'joint': [k[0] for k in keys], 'operator': [person(k) for k in keys], 'tool': [tool(k) for k in keys]}
# The same person at joints stopped by angle is another level.
person = lambda k: k[1] + (' by angle' if k[0] in by_angle else '')
cluster = lambda keys: [k[2] + k[3] for k in keys]
mean = lambda values: float(np.mean(values))

keys = [k for k, v in torque.items() if len(v) >= 3]
out = {'md5': hashlib.md5(open(f'{folder}/readings.csv', 'rb').read()).hexdigest(),
       'made': f'NumPy {np.__version__}, SciPy {scipy.__version__}', 'cells': len(keys),
       'effects': effects(factors(keys), [mean(torque[k]) for k in keys], cluster(keys)), 'own': {}, 'response': {}}


def lane(values, doubt_of, out):
    keys = list(values)
    y = [values[k] for k in keys]
    x, names = dummies(factors(keys, lambda k: k[2] + week(k[3]), person))
    c = fit(x, y, cluster(keys))[0]
    level = {}
    for k, found in sets_of(x, names).items():
        for s in found:
            for i in s:
                level[k, names[i][1]] = c[i] - np.mean(c[s]) if len(s) > 1 else 0.0
    series = {}
    for tool in sorted({k[2] for k in keys}):
        by_block = collections.defaultdict(list)
        for k in keys:
            if k[2] == tool:
                by_block[k[3]].append(values[k] - level['joint', k[0]] - level['operator', person(k)])
        blocks = sorted(by_block)
        series[tool] = blocks, [mean(by_block[b]) for b in blocks]
    q = adjusted({t: pettitt(v) for t, (_, v) in series.items() if len(v) >= 20})
    for tool, (blocks, v) in series.items():
        one = out[tool] = {'blocks': len(v), 'changeAdjustedP': q.get(tool), 'trend': None, 'change': None, 'smallestVisible': None}
        if len(v) < 10:
            continue
        position, before = [], 0
        for b in blocks:
            position.append((before + used[tool, b] / 2) / 1000)
            before += used[tool, b]
        slope, _, low, high = stats.theilslopes(v, position)
        one['trend'] = [float(slope), float(low), float(high), mann_kendall(v, position, slope)]

        def move_from(start):
            column = [float(k[2] == tool and k[3] >= start) for k in keys]
            return move(factors(keys, person=person), y, cluster(keys), column, doubt_of(tool, start))
        size, visible = move_from(blocks[len(v) // 2])
        if tool in q and q[tool] <= 0.05:
            shape, after, low, high = change(v)
            size, moved_visible = move_from(blocks[after])
            if size[1] > 0 or size[2] < 0:
                one['change'] = {'shape': shape, 'at': blocks[after], 'low95': blocks[low], 'high95': blocks[high], 'shift': size}
                visible = moved_visible
        one['smallestVisible'] = visible


lane({k: mean(v) for k, v in stop.items() if len(v) >= 3 and of_kind(k)}, lambda tool, start: 0.0, out['own'])

# Response at an equal stop: lines on the first ten blocks of each tool.
pairs = {k: v for k, v in pairs.items() if of_kind(k)}
last = {}
for tool in {k[2] for k in pairs}:
    last[tool] = (sorted({k[3] for k, v in pairs.items() if k[2] == tool and len(v) >= 3})[:10] or [''])[-1]
lines = {}
for name in joints:
    held = [p for k, v in pairs.items() if k[0] == name and k[3] <= last[k[2]] for p in v]
    if len(held) < 3:
        continue
    s, r = zip(*held)
    f = stats.linregress(s, r)
    use = len(held) >= 30 and f.slope > 0 and f.slope / f.stderr > 3
    lines[name] = (f.intercept if use else mean(r), f.slope if use else 0.0, f.stderr, mean(r))


def doubt_of(tool, start):
    mine = [k for k, v in pairs.items() if k[2] == tool and len(v) >= 3 and k[0] in lines]
    total = 0.0
    for name in {k[0] for k in mine}:
        after, before = ([s for k in mine if k[0] == name and (k[3] >= start) == w for s, _ in pairs[k]] for w in (True, False))
        if after and before:
            share = sum(k[0] == name for k in mine) / len(mine)
            total += (share * 100 * (mean(after) - mean(before)) * lines[name][2] / lines[name][3]) ** 2
    return total


lane({k: mean([100 * (r - lines[k[0]][0] - lines[k[0]][1] * s) / lines[k[0]][3] for s, r in v])
      for k, v in pairs.items() if len(v) >= 3 and k[0] in lines}, doubt_of, out['response'])
json.dump(out, sys.stdout, indent=1)
print()
