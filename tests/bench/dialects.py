"""The sixty rules in every language beside which ours is measured.

dialects.py FOLDER writes them there: rules.h (C++), rules.muparser, rules.lua, rules.sql, rules.clp, by_hand_yaml.py and
by_hand_json.py (keys are whole numbers or texts), rules.jq, rules.mjs (npm's peers), and fields.txt, the readings of a flat
record in their order. Every peer gets the form that suits it best: limits as constants, records flat where it has no lists,
conditions that stop as soon as they are decided.
"""
import pathlib
import sys

import conditions
import npm_forms
import workload


class Infix:
    """A language with operators between their arguments; those that differ say what they call things."""
    both, either = '&&', '||'

    def text(self, tree):
        if isinstance(tree, (int, float)):
            return self.number(tree)
        name, *rest = tree
        return getattr(self, WORDS.get(name, name))(*rest)

    def _joined(self, word, trees):
        return '(' + f' {word} '.join(self.text(tree) for tree in trees) + ')'

    def number(self, x):
        return repr(float(x))

    def whole(self, x):
        return str(x)

    def plus(self, *trees):
        return self._joined('+', trees)

    def minus(self, *trees):
        return self._joined('-', trees)

    def times(self, *trees):
        return self._joined('*', trees)

    def less(self, *trees):
        return self._joined('<', trees)

    def more(self, *trees):
        return self._joined('>', trees)

    def at_most(self, *trees):
        return self._joined('<=', trees)

    def at_least(self, *trees):
        return self._joined('>=', trees)

    def all_of(self, *trees):
        return self._joined(self.both, trees)

    def any_of(self, *trees):
        return self._joined(self.either, trees)

    def count(self, *trees):
        return self.plus(*(('one_if', tree) for tree in trees))

    def one_if(self, tree):
        return self.text(tree)

    def _call(self, name, trees):
        return f'{name}({", ".join(self.text(tree) for tree in trees)})'

    def largest(self, *trees):
        return self._call('max', trees)

    def smallest(self, *trees):
        return self._call('min', trees)


WORDS = {'+': 'plus', '-': 'minus', '*': 'times', '<': 'less', '>': 'more', '<=': 'at_most', '>=': 'at_least',
         'and': 'all_of', 'or': 'any_of', 'max': 'largest', 'min': 'smallest'}


class Cpp(Infix):
    def __init__(self):
        self.tables = []

    def value(self, name, at):
        return f'v[{conditions.FIELDS.index((name, at))}]'

    def pick(self, trees):
        self.tables.append('{' + ', '.join(self.text(tree) for tree in trees) + '}')
        return f'by_style[{len(self.tables) - 1}][style]'

    def one_if(self, tree):
        return f'int{self.text(tree)}'

    def _braces(self, name, trees):
        return f'std::{name}({{{", ".join(self.text(tree) for tree in trees)}}})'

    def largest(self, *trees):
        return self._braces('max', trees)

    def smallest(self, *trees):
        return self._braces('min', trees)

    def whole_text(self, passes):
        bits = [f'  kept |= std::uint64_t{{{self.text(tree)}}} << {bit};' for bit, tree in enumerate(passes)]
        return '\n'.join([
            '// Written by a script: the sixty rules as a person in a hurry would hard-code them.', '#pragma once', '',
            '#include <algorithm>', '#include <cstddef>', '#include <cstdint>', '',
            f'constexpr double by_style[{len(self.tables)}][{len(workload.STYLES)}] = {{',
            *(f'  {row},' for row in self.tables), '};', '',
            'inline std::uint64_t kept_rules(const double* v, std::size_t style) {', '  std::uint64_t kept = 0;', *bits,
            '  return kept;', '}', ''])


class MuParser(Infix):
    def value(self, name, at):
        return conditions.flat(name, at)

    def pick(self, trees):
        a, b, c, d = (self.text(tree) for tree in trees)
        return f'(style < 2 ? (style < 1 ? {a} : {b}) : (style < 3 ? {c} : {d}))'

    def whole_text(self, passes):
        return '\n'.join(self.text(tree) for tree in passes) + '\n'


class Lua(Infix):
    both, either = 'and', 'or'

    def value(self, name, at):
        return name if at is None else f'{name}[{at + 1}]'

    def pick(self, trees):
        rows = zip(workload.STYLES, trees)
        self.tables.append('{' + ', '.join(f'{style} = {self.text(tree)}' for style, tree in rows) + '}')
        return f'by_style_{len(self.tables)}[style]'

    def one_if(self, tree):
        return f'({self.text(tree)} and 1 or 0)'

    def largest(self, *trees):
        return self._call('largest', trees)

    def smallest(self, *trees):
        return self._call('smallest', trees)

    def whole_text(self, passes):
        self.tables = []
        bits = [f'  if {self.text(tree)} then kept = kept | {1 << bit} end' for bit, tree in enumerate(passes)]
        tables = [f'local by_style_{at + 1} = {row}' for at, row in enumerate(self.tables)]
        names = [*workload.SCALARS, *workload.STRINGS]
        return '\n'.join([
            'local largest, smallest = math.max, math.min', *tables, 'local function kept_rules(record)',
            '  local style, kept = record.style, 0', *(f'  local {name} = record.{name}' for name in names), *bits,
            '  return kept', 'end', 'return kept_rules', ''])


class Sql(Infix):
    both, either = 'AND', 'OR'

    def value(self, name, at):
        return conditions.flat(name, at)

    def pick(self, trees):
        rows = ' '.join(f'WHEN {at} THEN {self.text(tree)}' for at, tree in enumerate(trees))
        return f'CASE style {rows} END'

    def whole_text(self, passes):
        bits = [f'({self.text(tree)} << {bit})' for bit, tree in enumerate(passes)]
        return 'SELECT ' + '\n | '.join(bits) + '\nFROM records ORDER BY rowid\n'


class Python(Infix):
    both, either = 'and', 'or'

    def __init__(self, key):
        self.key = key

    def value(self, name, at):
        return name if at is None else f'{name}[{self.key(at + 1)!r}]'

    def pick(self, trees):
        self.tables.append({style: tree for style, tree in zip(workload.STYLES, trees)})
        return f'BY_STYLE_{len(self.tables)}[style]'

    def whole_text(self, passes):
        self.tables = []
        bits = [f'    if {self.text(tree)}:\n        kept |= {1 << bit}' for bit, tree in enumerate(passes)]
        tables = [f'BY_STYLE_{at + 1} = {row}' for at, row in enumerate(self.tables)]
        names = [*workload.SCALARS, *workload.STRINGS]
        return '\n'.join([
            '# Written by a script: what a shop would otherwise write.',
            *tables, '', '', 'def kept_rules(style, read):', *(f"    {name} = read['{name}']" for name in names),
            '    kept = 0', *bits, '    return kept', ''])


class Jq(Infix):
    both, either = 'and', 'or'

    def value(self, name, at):
        return f'.{name}' if at is None else f'.{name}["{at + 1}"]'

    def pick(self, trees):
        return '{' + ', '.join(f'{style}: {self.text(tree)}' for style, tree in zip(workload.STYLES, trees)) + '}[$style]'

    def one_if(self, tree):
        return f'(if {self.text(tree)} then 1 else 0 end)'

    def _listed(self, name, trees):
        return f'([{", ".join(self.text(tree) for tree in trees)}] | {name})'

    def largest(self, *trees):
        return self._listed('max', trees)

    def smallest(self, *trees):
        return self._listed('min', trees)

    def whole_text(self, passes):
        bits = ',\n  '.join(f'(if {self.text(tree)} then "1" else "0" end)' for tree in passes)
        return f'.player.style as $style | .log[0].read | [\n  {bits}] | add\n'


class Cel(Infix):
    def value(self, name, at):
        return name if at is None else f'{name}[{at}]'

    def pick(self, trees):
        rows = ' : '.join(f'style == "{style}" ? {self.text(tree)}' for style, tree in zip(workload.STYLES[:-1], trees))
        return f'({rows} : {self.text(trees[-1])})'

    def one_if(self, tree):
        return f'({self.text(tree)} ? 1 : 0)'

    def largest(self, *trees):
        return f'largest([{", ".join(self.text(tree) for tree in trees)}])'

    def smallest(self, *trees):
        return f'smallest([{", ".join(self.text(tree) for tree in trees)}])'


class Clips(Infix):
    """Prefix, with a variable for each slot."""

    def value(self, name, at):
        return f'?{conditions.flat(name, at)}'

    def _joined(self, word, trees):
        return f'({word} {" ".join(self.text(tree) for tree in trees)})'

    both, either = 'and', 'or'

    def _call(self, name, trees):
        return self._joined(name, trees)

    def pick(self, trees):
        a, b, c, d = (self.text(tree) for tree in trees)
        return f'(if (< ?style 2) then (if (< ?style 1) then {a} else {b}) else (if (< ?style 3) then {c} else {d}))'

    def one_if(self, tree):
        return f'(if {self.text(tree)} then 1 else 0)'

    def whole_text(self, passes):
        slots = ' '.join(f'(slot {conditions.flat(*field)})' for field in conditions.FIELDS)
        lines = [f'(deftemplate record (slot style) {slots})']
        for bit, tree in enumerate(passes):
            used = conditions.used(tree)
            slots = ' '.join(f'({name} ?{name})' for name in used[:-1])
            condition = f'({used[-1]} ?{used[-1]}&:(not {self.text(tree)}))'
            lines.append(f'(defrule rule{bit} (record {slots} {condition}) => (broken {bit}))')
        return '\n'.join(lines) + '\n'


def write(folder):
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    passes = [conditions.passes(rule) for rule in workload.rules()]
    forms = {'rules.h': Cpp(), 'rules.muparser': MuParser(), 'rules.lua': Lua(), 'rules.sql': Sql(), 'rules.clp': Clips(),
             'by_hand_yaml.py': Python(int), 'by_hand_json.py': Python(str), 'rules.jq': Jq()}
    texts = {name: form.whole_text(passes) for name, form in forms.items()}
    texts['rules.mjs'] = npm_forms.text(passes, [Cel().text(tree) for tree in passes])
    texts['fields.txt'] = ''.join(f'{name} {"" if at is None else at + 1}'.rstrip() + '\n' for name, at in conditions.FIELDS)
    for name, text in texts.items():
        (folder / name).write_text(text)


if __name__ == '__main__':
    write(sys.argv[1])
