"""Review of the sample scenario, computed a second time in SciPy from the definitions; shares no code with the program.

Run: python3 -B review.py FOLDER > review-figures.json
FOLDER holds readings.json (`readings --json`) and register.json (`register --export`).
Taken from the program's export: the readings as recorded, in its order, and the names of fasteners. Verdicts, tries, rates,
intervals and tests are computed here.
"""
import collections
import datetime as dt
import json
import sys

from scipy import stats

FACTOR = {
    'N.m': 1, 'N.cm': 0.01, 'N.mm': 0.001, 'cN.m': 0.01, 'dN.m': 0.1, 'daN.m': 10, 'kN.m': 1000,
    'lbf.ft': 1.3558179483314004, 'lbf.in': 0.1129848290276167, 'ozf.in': 0.00706155181422604375,
    'kgf.m': 9.80665, 'kgf.cm': 0.0980665,
}
folder = sys.argv[1]
readings = json.load(open(f'{folder}/readings.json'))['readings']
register = json.load(open(f'{folder}/register.json'))
joints = {j['name']: j for j in register['joints']}
adapters = [t for t in register['tools'] if t.get('adapters')]
assert not adapters, 'the sample has no adapters'


def time_of(text):
    return None if text is None else dt.datetime.fromisoformat(text)


def revision(joint, at):
    """The revision in force, its start included; without a time the only one there is."""
    limits = sorted(joint['limits'] or [], key=lambda one: one['from'])
    if at is None:
        return limits[0] if len(limits) == 1 else None
    held = [one for one in limits if dt.datetime.fromisoformat(one['from']) <= at]
    return held[-1] if held else None


def judge(r):
    """(verdict, reasons, why there is none); definitions 3."""
    joint = joints.get(r['joint'])
    torque, angle = r['torqueAsRecorded'], r['angle']
    direction = (joint or {}).get('direction') or 'cw'
    if torque is not None and torque != 0 and (torque < 0) != (direction == 'ccw'):
        return 'unjudged', [], 'other-direction'
    if joint is None or not joint['limits']:
        return 'unjudged', [], 'no-limits'
    at = time_of(r['at'])
    limit = revision(joint, at)
    if limit is None:
        return 'unjudged', [], 'no-time' if at is None else 'no-limits'
    low, high = limit['low'], limit['high']
    if limit.get('lowPercent') is not None:
        low = limit['target'] * (1 + limit['lowPercent'] / 100)
    if limit.get('highPercent') is not None:
        high = limit['target'] * (1 + limit['highPercent'] / 100)
    reasons, missing = [], None
    if torque is not None:
        t = abs(torque) * FACTOR[r['unit']] / FACTOR[limit['unit']]
        if low is not None and t < low - 1e-9 * abs(low):
            reasons.append('torque-low')
        if high is not None and t > high + 1e-9 * abs(high):
            reasons.append('torque-high')
    elif low is not None or high is not None:
        missing = 'no-torque'
    if angle is not None:
        a = abs(angle)
        if limit['angleLow'] is not None and a < limit['angleLow'] - 1e-9 * abs(limit['angleLow']):
            reasons.append('angle-low')
        if limit['angleHigh'] is not None and a > limit['angleHigh'] + 1e-9 * abs(limit['angleHigh']):
            reasons.append('angle-high')
    elif limit['angleLow'] is not None or limit['angleHigh'] is not None:
        missing = missing or 'no-angle'
    if reasons:
        return 'fail', reasons, None
    return ('unjudged', [], missing) if missing else ('pass', [], None)


for r in readings:
    r['v'], r['why'], r['because'] = judge(r)

# Tries; definitions 4. The readings stand in time order, those of one tool too.
fasteners = []
by_name = {}
last_of_tool = {}
for r in readings:
    if r['because'] == 'other-direction':
        continue
    named = r['fastener'] is not None
    mine = None
    before = last_of_tool.get(r['tool'])
    if named:
        mine = by_name.get((r['fastener'], r['joint']))
    elif before is not None and before['v'] == 'fail' and before['joint'] == r['joint'] and before['fastener'] is None:
        window = 120
        at, then = time_of(r['at']), time_of(before['at'])
        limit = revision(joints[r['joint']], then) if r['joint'] in joints and joints[r['joint']]['limits'] else None
        if limit and limit.get('retryWithinSeconds') is not None:
            window = limit['retryWithinSeconds']
        if at is not None and then is not None:
            if (r['at'].count(':') < 2) or (before['at'].count(':') < 2):
                window += 60
            if 0 <= (at - then).total_seconds() <= window:
                mine = before['of']
    if mine is None:
        mine = {'tries': [], 'by': 'identity' if named else None}
        fasteners.append(mine)
        if named:
            by_name[(r['fastener'], r['joint'])] = mine
    elif not named:
        mine['by'] = 'time'
    mine['tries'].append(r)
    r['of'] = mine
    last_of_tool[r['tool']] = r


def wilson(k, n):
    """Without continuity correction, from the quadratic (p - k/n)^2 = z^2 p (1 - p)/n."""
    if n == 0:
        return None
    interval = stats.binomtest(k, n).proportion_ci(0.95, method='wilson')
    return [k / n, interval.low, interval.high]


def rate(some, pick):
    tries = [pick(f) for f in some]
    judged = [r for r in tries if r['v'] != 'unjudged']
    passed = sum(r['v'] == 'pass' for r in judged)
    return {'fasteners': len(tries), 'judged': len(judged), 'passed': passed, 'interval': wilson(passed, len(judged))}


def figures(inside):
    here = [r for r in readings if inside(r)]
    first = [f for f in fasteners if inside(f['tries'][0])]
    causes = collections.Counter(('+'.join(r['why']), r['joint']) for r in here if r['v'] == 'fail')
    cells = collections.defaultdict(list)
    for f in first:
        r = f['tries'][0]
        cells[(r['operator'] or '', r['tool'])].append(r['v'])
    total = rate(first, lambda f: f['tries'][0])
    matrix = []
    for (operator, tool), verdicts in sorted(cells.items()):
        n = sum(v != 'unjudged' for v in verdicts)
        k = sum(v == 'pass' for v in verdicts)
        p = None
        if n >= 20:
            rest, passed = total['judged'] - n, total['passed'] - k
            p = stats.fisher_exact([[k, n - k], [passed, rest - passed]]).pvalue
        matrix.append([operator, tool, len(verdicts), n, k, p])
    tested = [row for row in matrix if row[5] is not None]
    if tested:
        adjusted = stats.false_discovery_control([row[5] for row in tested], method='bh')
        for row, p in zip(tested, adjusted):
            row[5] = float(p)
    again = [f for f in first if len(f['tries']) > 1]
    return {
        'readings': {
            'n': len(here),
            **{v: sum(r['v'] == v for r in here) for v in ('pass', 'fail', 'unjudged')},
        },
        'firstPass': total,
        'finalRate': rate(first, lambda f: f['tries'][-1]),
        'causes': sorted([reasons, joint, n] for (reasons, joint), n in causes.items()),
        'matrix': matrix,
        'retries': {
            'identity': sum(f['by'] == 'identity' for f in again),
            'time': sum(f['by'] == 'time' for f in again),
            'endsInPass': sum(f['tries'][-1]['v'] == 'pass' for f in again),
        },
    }


def between(start, end):
    a, b = dt.datetime.fromisoformat(start), dt.datetime.fromisoformat(end)
    return lambda r: r['at'] is not None and a <= time_of(r['at']) < b


print(json.dumps({
    'everything': figures(lambda r: True),
    'week': figures(between('2026-11-18T00:00:00', '2026-11-25T00:00:00')),
    'late': figures(between('2026-11-24T14:00:00', '2026-11-24T22:00:00')),
    # A night across midnight, cut by the clock.
    'night': figures(between('2026-11-19T22:00:00', '2026-11-20T06:00:00')),
}, indent=1))
