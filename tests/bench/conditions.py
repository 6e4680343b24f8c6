"""What each rule of the workload demands, as a tree that dialects.py writes in every language beside which ours is measured.

A tree is a number, a reading ('value', name, string or None), a choice by style ('pick', [one for each style]), or an operation
with its arguments: + - * max min < > <= >= and or count. `passes(rule)` is the tree that is true when the rule is kept.
"""
import workload

FIELDS = [(name, None) for name in workload.SCALARS] + [(name, at) for name in workload.STRINGS for at in range(6)]


def flat(name, at):
    """The name of a reading where a record is flat: relief, act1_1."""
    return name if at is None else f'{name}_{at + 1}'


def used(tree):
    """The flat names of all that a tree reads, sorted; `style` is one where it picks by style."""
    if not isinstance(tree, tuple):
        return []
    if tree[0] == 'value':
        return [flat(*tree[1:])]
    names = {'style'} if tree[0] == 'pick' else {name for one in tree[1:] for name in used(one)}
    return sorted(names)


def by_style(tree):
    """A tree that picks by style as one tree for each style; None where it does not pick."""
    return [_at_style(tree, at) for at in range(len(workload.STYLES))] if 'style' in used(tree) else None


def _at_style(tree, at):
    if not isinstance(tree, tuple):
        return tree
    return tree[1][at] if tree[0] == 'pick' else (tree[0], *(_at_style(one, at) for one in tree[1:]))


def _value(name, at=None):
    return ('value', name, at)


def _six(name):
    return [_value(name, at) for at in range(6)]


def _between(value, low, high):
    return ('and', ('>=', value, low), ('<=', value, high))


def _pick(rows):
    return ('pick', list(rows))


def _square(weight, value):
    return ('*', weight, value, value)


def _weighted(terms):
    """Two or more names with their weights; a weight of -1 stands second of two."""
    if len(terms) == 2 and terms[1][1] == -1:
        return ('-', _value(terms[0][0]), _value(terms[1][0]))
    return ('+', *(_value(name) if weight == 1 else ('*', weight, _value(name)) for name, weight in terms))


def passes(rule):
    kind, f = rule['kind'], rule.get('f')
    low, high = rule.get('lo'), rule.get('hi')
    if kind == 'range':
        return _between(_value(f), low, high)
    if kind == 'range_by_style':
        rows = [rule['by'][style] for style in workload.STYLES]
        return _between(_value(f), _pick(row[0] for row in rows), _pick(row[1] for row in rows))
    if kind == 'all_by_style':
        rows = [rule['by'][style] for style in workload.STYLES]
        return ('and', *(_between(value, _pick(row[at][0] for row in rows), _pick(row[at][1] for row in rows))
                         for at, value in enumerate(_six(f))))
    if kind == 'all':
        return ('and', *(_between(value, *limit) for value, limit in zip(_six(f), rule['limits'])))
    if kind == 'any':
        return ('or', *(('>', value, low) for value in _six(f)))
    if kind == 'at_least':
        return ('>=', ('count', *(_between(value, low, high) for value in _six(f))), ('whole', rule['n']))
    if kind == 'difference':
        return _between(('-', _value(f, rule['i']), _value(f, rule['j'])), low, high)
    if kind == 'differences':
        return ('and', *(_between(('-', a, b), low, high) for a, b in zip(_six(f), _six(rule['g']))))
    if kind == 'falling':
        six = _six(f)
        return ('and', *(('<=', ('-', b, a), rule['most']) for a, b in zip(six, six[1:])))
    if kind == 'spread':
        return ('<=', ('-', ('max', *_six(f)), ('min', *_six(f))), rule['most'])
    if kind == 'sum':
        return _between(('+', *_six(f)), low, high)
    if kind == 'weighted':
        return _between(_weighted(rule['terms']), low, high)
    if kind == 'squares':
        squares = ('+', *(_square(weight, value) for weight, value in zip(rule['weights'], _six(f))))
        return _between(('*', squares, _value(rule['by'])), low, high)
    outside = {'if_under': '>=', 'if_over': '<='}[kind]
    return ('or', (outside, _value(rule['when']), rule['at']), _between(_value(f), low, high))
