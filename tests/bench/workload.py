"""A workload for speed comparisons: 60 tolerance rules and as many random records as asked for, the same every time.

Limits end in half a step of the last digit, so that no reading ties with a limit and every engine must give the same verdicts.
Names and values are arbitrary: this measures engines, not instruments.

A rule is a dict with its `id`, its `kind` and what that kind needs (dialects.py says what each kind means). A record is a dict
with its `id`, its `style` and its `readings`: numbers, or lists of six, one a string.
"""
import random

STYLES = ['strum', 'finger', 'slide', 'shred']

# Read once: centre and spread.
SCALARS = {
    'relief': (0.25, 0.12), 'neck_angle': (1.2, 0.4), 'nut_width': (43.0, 0.6), 'scale_len': (648.0, 1.2),
    'radius_nut': (241.0, 9.0), 'radius_bridge': (305.0, 12.0), 'level_max': (0.04, 0.025), 'crown_min': (0.95, 0.2),
    'bridge_height': (9.5, 0.8), 'saddle_out': (3.2, 0.7), 'clear_bass': (2.4, 0.5), 'clear_treble': (1.9, 0.5),
    'backlash': (12.0, 6.0), 'rod_turns': (0.5, 0.35), 'humidity': (47.0, 7.0), 'temp': (21.0, 3.0), 'bulge': (1.6, 0.7),
    'tilt': (2.1, 0.6), 'span_nut': (36.5, 0.5), 'span_bridge': (52.5, 0.7), 'head_angle': (13.5, 1.2),
    'wear_max': (0.08, 0.05), 'mass': (3.6, 0.5), 'resist': (7.8, 0.6)}


def _six(centres, spread):
    return [(centre, spread) for centre in centres]


# Read at each of six strings.
STRINGS = {
    'act1': _six([0.45, 0.44, 0.42, 0.40, 0.38, 0.36], 0.06), 'act12': _six([2.1, 2.0, 1.9, 1.8, 1.7, 1.6], 0.22),
    'open_c': _six([0] * 6, 3.0), 'fret12_c': _six([0] * 6, 3.4),
    'thickness': _six([1.17, 0.91, 0.66, 0.43, 0.33, 0.25], 0.02),
    'slot_depth': _six([0.62, 0.55, 0.5, 0.42, 0.37, 0.33], 0.05)}


def _off(x):
    """Half a step off, so that no reading ties with it."""
    return round(round(x, 3) + 0.0005, 4)


def _around(centre, spread, width):
    return _off(centre - width * spread), _off(centre + width * spread)


def rules():
    made = []

    def add(kind, **more):
        made.append({'id': f'r{len(made) + 1:02d}', 'kind': kind, **more})

    def band(kind, low, high, **more):
        add(kind, lo=_off(low), hi=_off(high), **more)

    for name in list(SCALARS)[:18]:
        low, high = _around(*SCALARS[name], 1.9)
        add('range', f=name, lo=low, hi=high)
    for name in ['relief', 'neck_angle', 'bridge_height', 'saddle_out', 'clear_bass', 'clear_treble', 'bulge', 'tilt',
                 'head_angle', 'mass']:
        centre, spread = SCALARS[name]
        add('range_by_style', f=name, by={style: _around(centre + (i - 1.5) * 0.25 * spread, spread, 1.8)
                                          for i, style in enumerate(STYLES)})
    for name in ['act1', 'act12', 'slot_depth', 'thickness']:
        add('all_by_style', f=name, by={style: [_around(centre + (i - 1.5) * 0.2 * spread, spread, 2.5)
                                                for centre, spread in STRINGS[name]] for i, style in enumerate(STYLES)})
    for name in ['act1', 'act12', 'open_c', 'fret12_c']:
        add('all', f=name, limits=[_around(centre, spread, 2.4) for centre, spread in STRINGS[name]])
    for name, least in [('act1', 0.45), ('act12', 2.2), ('open_c', 1.5), ('slot_depth', 0.6)]:
        add('any', f=name, lo=_off(least))
    band('at_least', -3.9, 3.9, f='open_c', n=4)
    band('at_least', -3.6, 3.6, f='fret12_c', n=4)
    band('at_least', 0.31, 0.6, f='slot_depth', n=4)
    band('at_least', 0.34, 0.49, f='act1', n=3)
    band('difference', 0.1, 0.95, f='act12', i=0, j=5)
    band('difference', -0.05, 0.25, f='act1', i=0, j=5)
    band('difference', 0.15, 0.42, f='slot_depth', i=0, j=5)
    band('differences', -9.0, 9.0, f='fret12_c', g='open_c')
    band('differences', 0.75, 2.2, f='act12', g='act1')
    add('falling', f='act12', most=_off(0.3))
    add('falling', f='thickness', most=_off(-0.02))
    add('spread', f='open_c', most=_off(11.0))
    add('spread', f='fret12_c', most=_off(12.5))
    band('sum', 3.65, 3.85, f='thickness')
    band('sum', -13.0, 13.0, f='open_c')
    band('weighted', 14.5, 17.5, terms=[('span_bridge', 1), ('span_nut', -1)])
    band('weighted', 3.5, 6.1, terms=[('clear_bass', 1), ('clear_treble', 1), ('relief', 2)])
    weights = [4, 7, 13, 23, 36, 64]
    middle = sum(weight * centre * centre for weight, (centre, _) in zip(weights, STRINGS['thickness'])) * 648.0
    band('squares', middle * 0.9, middle * 1.1, f='thickness', weights=weights, by='scale_len')
    band('if_under', 0.0, 0.36, when='humidity', at=_off(42.0), f='relief')
    band('if_over', 0.1, 1.0, when='temp', at=_off(24.0), f='rod_turns')
    assert len(made) == 60
    return made


def records(count):
    draw = random.Random(20240611)
    made = []
    for number in range(count):
        style = draw.choice(STYLES)
        quiet = 0.55 if draw.random() < 0.3 else 1.0  # some records are cleaner
        readings = {name: round(draw.gauss(centre, spread * quiet), 3) for name, (centre, spread) in SCALARS.items()}
        for name, strings in STRINGS.items():
            readings[name] = [round(draw.gauss(centre, spread * quiet), 3) for centre, spread in strings]
        made.append({'id': f'r{number:05d}', 'style': style, 'readings': readings})
    return made
