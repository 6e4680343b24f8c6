"""The workload as a house book: a house, the profile `bench`, a visit for every record; and the same visits as JSON Lines.

book.py FOLDER COUNT writes FOLDER/house.yaml, FOLDER/profiles/bench.yaml, FOLDER/visits/*.yaml, FOLDER/visits.jsonl and
FOLDER/outcomes.txt, a line for each rule of the workload: its id and the target or the rule of the profile that answers it.
"""
import json
import pathlib
import sys

import workload

STRING_COUNT = 6


def number(x):
    """A decimal as the language has it: never 1e-05, no zeros at the end."""
    return f'{x:.4f}'.rstrip('0').rstrip('.')


def _range(pair):
    return f'{number(pair[0])} .. {number(pair[1])}'


def _out(value, low, high):
    return f'{value} under {number(low)} or {value} over {number(high)}'


def _by_style(rows):
    return '{by style: {' + ', '.join(f'{style}: {row}' for style, row in rows) + '}}'


def _places(name):
    return [f'{name}.{string + 1}' for string in range(STRING_COUNT)]


def _computed(rule):
    """What a rule on a difference, a sum or a product holds its range against; none for other rules."""
    kind, f = rule['kind'], rule.get('f')
    if kind == 'difference':
        return f'{f}.{rule["i"] + 1} - {f}.{rule["j"] + 1}'
    if kind == 'sum':
        return ' + '.join(_places(f))
    if kind == 'weighted':
        terms = [name if weight == 1 else f'{weight} * {name}' for name, weight in rule['terms']]
        return ' + '.join(terms).replace('+ -1 *', '-')
    if kind == 'squares':
        squares = ' + '.join(f'{weight} * {place} * {place}' for weight, place in zip(rule['weights'], _places(f)))
        return f'({squares}) * {rule["by"]}'
    return None


def _condition(rule):
    """What is so when the rule is broken."""
    kind, f = rule['kind'], rule.get('f')
    if kind == 'range':
        return _out(f, rule['lo'], rule['hi'])
    if kind == 'all_by_style':
        return f'not all({f} is within)'
    if kind == 'all':
        return ' or '.join(_out(place, *limit) for place, limit in zip(_places(f), rule['limits']))
    if kind == 'any':
        return f'not any({f} over {number(rule["lo"])})'
    if kind == 'at_least':
        return f'count({f} at least {number(rule["lo"])} and {f} at most {number(rule["hi"])}) under {rule["n"]}'
    if kind == 'differences':
        return f'any({_out(f + " - " + rule["g"], rule["lo"], rule["hi"])})'
    if kind == 'falling':
        places = _places(f)
        return ' or '.join(f'{b} - {a} over {number(rule["most"])}' for a, b in zip(places, places[1:]))
    if kind == 'spread':
        return f'max({f}) - min({f}) over {number(rule["most"])}'
    side = {'if_under': 'under', 'if_over': 'over'}[kind]
    return f'{rule["when"]} {side} {number(rule["at"])} and ({_out(f, rule["lo"], rule["hi"])})'


def profile(rules):
    """The profile's text, and for every rule what answers it: ('target', reading) or ('rule', name)."""
    computed, targets, conditions, answers = {}, {}, [], {}
    styled = {rule['f'] for rule in rules if rule['kind'] == 'range_by_style'}
    for rule in rules:
        kind, f = rule['kind'], rule.get('f')
        answers[rule['id']] = ('target', f)
        if _computed(rule):
            computed[rule['id']] = _computed(rule)
            targets[rule['id']] = _range((rule['lo'], rule['hi']))
            answers[rule['id']] = ('target', rule['id'])
        elif kind == 'range_by_style':
            targets[f] = _by_style((style, _range(pair)) for style, pair in rule['by'].items())
        elif kind == 'range' and f not in styled:
            targets[f] = _range((rule['lo'], rule['hi']))
        else:
            conditions.append((rule['id'], _condition(rule)))
            answers[rule['id']] = ('rule', rule['id'])
        if kind == 'all_by_style':
            for at, place in enumerate(_places(f)):
                targets[place] = _by_style((style, _range(limits[at])) for style, limits in rule['by'].items())
    lines = ['# 60 tolerance rules, drawn by a script; names and values are arbitrary.', 'profile: bench', 'facts:',
             '  tuning: [E4, B3, G3, D3, A2, E2]', 'choices:', f'  style: [{", ".join(workload.STYLES)}]', 'readings:']
    lines += [f'  {name}: {{is: number}}' for name in workload.SCALARS]
    lines += [f'  {name}: {{per: string, is: number}}' for name in workload.STRINGS]
    lines += [f'  {name}: {{is: {formula}}}' for name, formula in computed.items()]
    lines += ['targets:'] + [f'  {name}: {{range: {wanted}}}' for name, wanted in targets.items()]
    lines += ['rules:'] + [f'  {name}: {{when: "{condition}", say: {name} is broken}}' for name, condition in conditions]
    return '\n'.join(lines) + '\n', answers


def visit(record):
    """A record with the keys of a visit, as a tree."""
    readings = {name: {str(at + 1): x for at, x in enumerate(value)} if isinstance(value, list) else value
                for name, value in record['readings'].items()}
    return {'visit': record['id'], 'profile': 'bench', 'player': {'style': record['style']},
            'log': [{'date': '2026-03-02', 'read': readings}]}


def visit_yaml(tree):
    def value(x):
        return number(x) if not isinstance(x, dict) else '{' + ', '.join(f'{k}: {number(v)}' for k, v in x.items()) + '}'
    entry = tree['log'][0]
    return (f'visit: {tree["visit"]}\nprofile: {tree["profile"]}\nplayer: {{style: {tree["player"]["style"]}}}\nlog:\n'
            f'  - date: {entry["date"]}\n    read:\n' +
            ''.join(f'      {name}: {value(x)}\n' for name, x in entry['read'].items()))


def write(folder, count):
    folder = pathlib.Path(folder)
    (folder / 'profiles').mkdir(parents=True, exist_ok=True)
    (folder / 'visits').mkdir(exist_ok=True)
    rules = workload.rules()
    text, answers = profile(rules)
    (folder / 'house.yaml').write_text('house: bench\nlabel: a bench for speed\norder: [measuring]\n')
    (folder / 'profiles' / 'bench.yaml').write_text(text)
    (folder / 'outcomes.txt').write_text(''.join(f'{rule["id"]} {" ".join(answers[rule["id"]])}\n' for rule in rules))
    with open(folder / 'visits.jsonl', 'w') as lines:
        for record in workload.records(count):
            tree = visit(record)
            (folder / 'visits' / f'{record["id"]}.yaml').write_text(visit_yaml(tree))
            lines.write(json.dumps(tree, separators=(',', ':')) + '\n')


if __name__ == '__main__':
    write(sys.argv[1], int(sys.argv[2]))
