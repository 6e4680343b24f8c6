"""The sixty rules in the forms of npm's peers: JSON Logic, CEL, conditions of json-rules-engine, JSON Schema."""
import json

import conditions
import workload


def json_logic(tree):
    """A style picks a whole rule: compiled, a choice inside a comparison gives NaN."""
    if not isinstance(tree, tuple):
        return tree
    if 'style' in conditions.used(tree):
        rows = zip(workload.STYLES, conditions.by_style(tree))
        chain = [part for style, one in rows for part in ({'===': [{'var': 'style'}, style]}, json_logic(one))]
        return {'if': chain[:-2] + chain[-1:]}
    name, *rest = tree
    if name == 'value':
        return {'var': rest[0] if rest[1] is None else f'{rest[0]}.{rest[1]}'}
    if name == 'whole':
        return rest[0]
    if name == 'count':
        return {'+': [{'if': [json_logic(one), 1, 0]} for one in rest]}
    return {name: [json_logic(one) for one in rest]}


def script(tree, value):
    """JavaScript, for what json-rules-engine and JSON Schema can not say; `value` writes a reading."""
    if not isinstance(tree, tuple):
        return repr(tree)
    name, *rest = tree
    if name == 'value':
        return value(*rest)
    words = [script(one, value) for one in rest]
    if name == 'count':
        return '(' + ' + '.join(f'({word} ? 1 : 0)' for word in words) + ')'
    if name in ('max', 'min'):
        return f'Math.{name}({", ".join(words)})'
    return '(' + f' {dict(zip(("and", "or"), ("&&", "||"))).get(name, name)} '.join(words) + ')'


OPERATORS = {'<': 'lessThan', '>': 'greaterThan', '<=': 'lessThanInclusive', '>=': 'greaterThanInclusive'}


def rules_engine(tree, functions):
    """Facts are flat. What is no reading is a fact that a function works out; its text joins `functions`."""
    if 'style' in conditions.used(tree):
        return {'any': [{'all': [{'fact': 'style', 'operator': 'equal', 'value': style}, rules_engine(one, functions)]}
                        for style, one in zip(workload.STYLES, conditions.by_style(tree))]}
    name, *rest = tree
    if name in ('and', 'or'):
        return {{'and': 'all', 'or': 'any'}[name]: [rules_engine(one, functions) for one in rest]}
    left, right = rest
    if left[0] == 'value':
        fact = conditions.flat(*left[1:])
    else:
        fact = script(left, lambda name, at: f'r.{conditions.flat(name, at)}')
        functions.add(fact)
    return {'fact': fact, 'operator': OPERATORS[name], 'value': right[1] if isinstance(right, tuple) else right}


BOUNDS = {'<': 'exclusiveMaximum', '>': 'exclusiveMinimum', '<=': 'maximum', '>=': 'minimum'}


def _comparisons(tree):
    """The comparisons of readings with constants that `tree` is the `and` of; None where it is anything else."""
    if tree[0] == 'and':
        parts = [_comparisons(one) for one in tree[1:]]
        return None if None in parts else [one for part in parts for one in part]
    return [tree] if tree[0] in BOUNDS and tree[1][0] == 'value' else None


def _bounds(comparisons):
    return {BOUNDS[name]: limit for name, _, limit in comparisons}


def _properties(comparisons):
    properties = {}
    for name, at in dict.fromkeys(left[1:] for _, left, _ in comparisons):
        bounds = _bounds([one for one in comparisons if one[1][1:] == (name, at)])
        if at is None:
            properties[name] = bounds
        else:
            properties.setdefault(name, {'prefixItems': []})['prefixItems'].append(bounds)
    return {'properties': properties}


def schema(tree):
    """JSON Schema, with a keyword of ours, `computed`, for differences, sums and products, which it can not say."""
    if 'style' in conditions.used(tree):
        return {'allOf': [{'if': {'properties': {'style': {'const': style}}}, 'then': schema(one)}
                          for style, one in zip(workload.STYLES, conditions.by_style(tree))]}
    name, *rest = tree
    if _comparisons(tree):
        return _properties(_comparisons(tree))
    if name == 'or' and all(one[0] == '>' and one[2] == rest[0][2] for one in rest):
        return {'properties': {rest[0][1][1]: {'contains': _bounds(rest[:1])}}}
    if name in ('and', 'or'):
        return {{'and': 'allOf', 'or': 'anyOf'}[name]: [schema(one) for one in rest]}
    left, right = rest
    if left[0] == 'count':
        members = [_comparisons(one) for one in left[1:]]
        return {'properties': {members[0][0][1][1]: {'contains': _bounds(members[0]), 'minContains': right[1]}}}
    of = script(left, lambda name, at: f'r.{name}' if at is None else f'r.{name}[{at}]')
    return {'computed': {'of': of, **_bounds([tree])}}


def text(passes, cel):
    """A module of JavaScript; `cel`: the rules in CEL."""
    functions = set()
    rules = [rules_engine(tree, functions) for tree in passes]
    exports = {'styles': workload.STYLES, 'scalars': list(workload.SCALARS), 'strings': list(workload.STRINGS),
               'jsonLogic': [json_logic(tree) for tree in passes], 'cel': cel,
               'rulesEngine': [rule if set(rule) & {'all', 'any'} else {'all': [rule]} for rule in rules],
               'schemas': [schema(tree) for tree in passes]}
    lines = [f'export const {name} = {json.dumps(value)};' for name, value in exports.items()]
    lines += ['export const functions = {', *(f'  {json.dumps(one)}: (r) => {one},' for one in sorted(functions)), '};', '']
    return '\n'.join(lines)
