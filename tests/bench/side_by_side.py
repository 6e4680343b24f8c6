"""Runs Stringline beside its peers on the same work, once their verdicts have been found equal, and prints a table.

side_by_side.py BUILD [--records 5000] [--rounds 5] [--only memory,files,process,lines] [--verdicts]
BUILD holds the program and, under tests/bench, the compiled contenders; npm's packages stand in BUILD/bench/npm. With
`--verdicts` nothing is timed: Stringline, hard-coded C++ and Python must agree on every rule of every record, and a changed
limit must change the counts. Exit status: 0, or 1 when verdicts differ, or 77 when Python has no YAML to read with.
"""
import argparse
import json
import os
import pathlib
import shutil
import statistics
import subprocess
import sys

import book
import conditions
import workload

HERE = pathlib.Path(__file__).parent
FEW = 500  # records for those that take long over one
RULES = 60


class Wrong(Exception):
    pass


class Contender:
    """A program that judges on request (contender.h says how it is asked)."""

    def __init__(self, label, command, records=None, judges=True):
        self.label, self.command, self.judges = label, [str(word) for word in command], judges
        self.records = records  # judged in one run
        self.times = []
        self.process = None

    def start(self):
        self.process = subprocess.Popen(self.command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def ready(self):
        word = self._line().split()
        if word[:1] != ['ready']:
            raise Wrong(f'{self.label} did not start')
        self.records = int(word[1])

    def _line(self):
        return self.process.stdout.readline()

    def _ask(self, command):
        self.process.stdin.write(command + '\n')
        self.process.stdin.flush()

    def verdicts(self):
        self._ask('verdicts')
        return [int(self._line(), 16) for _ in range(self.records)]

    def time(self):
        self._ask('time')
        return float(self._line()) / self.records

    def stop(self):
        self.process.stdin.close()
        self.process.wait()


class Process(Contender):
    """A whole process over `records` records: its processor time; what it prints are its verdicts."""

    def __init__(self, label, command, read, records, judges=True):
        super().__init__(label, command, records, judges)
        self.read = read

    def start(self):
        pass

    def ready(self):
        pass

    def stop(self):
        pass

    def _run(self):
        # 0: nothing to do, or another program's success; 1 and 4: there is something to do. All three did their work.
        done = subprocess.run(self.command, stdout=subprocess.PIPE, text=True, check=False)
        if done.returncode not in (0, 1, 4):
            raise Wrong(f'{self.label} ended with {done.returncode}')
        return done.stdout

    def verdicts(self):
        return self.read(self._run())

    def time(self):
        process = subprocess.Popen(self.command, stdout=subprocess.DEVNULL)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        return (used.ru_utime + used.ru_stime) / self.records


def hexadecimal(text):
    return [int(line, 16) for line in text.split()]


def of_jq(text):
    """A digit a rule, the first rule first."""
    return [int(line[::-1], 2) for line in text.split()]


def of_work_json(outcomes):
    """Verdicts from what `stringline work --json` prints."""
    def read(text):
        paper = json.loads(text)
        rules = {rule['name']: rule['state'] == 'clear' for rule in paper['rules']['list']}
        targets = {one['name']: one['target']['verdict'] == 'within' for one in paper['readings'] if one.get('target')}
        kept = [(targets if kind == 'target' else rules)[name] for kind, name in outcomes]
        return [sum(one << bit for bit, one in enumerate(kept))]
    return read


def of_verdict_lines(outcomes):
    """Verdicts from the lines of `stringline work --json --lines --verdicts`."""
    def kept(text):
        paper = json.loads(text)
        good = {'target': set(paper['verdicts'].get('within', [])), 'rule': set(paper['rules'].get('clear', []))}
        return sum((name in good[kind]) << bit for bit, (kind, name) in enumerate(outcomes))
    return lambda text: [kept(line) for line in text.splitlines()]


class Bench:
    def __init__(self, build, records):
        self.build, self.records = pathlib.Path(build).resolve(), records
        self.peers = self.build / 'tests' / 'bench'
        self.forms = self.peers / 'forms'
        self.npm = self.build / 'bench' / 'npm'
        self.book = self.build / 'bench' / f'book_{records}'
        self.lines = self.book / 'visits.jsonl'
        self.missing = []
        book.write(self.book, records)

    def compiled(self, label, name, *words, judges=True):
        path = self.peers / f'bench_{name}'
        if path.exists():
            return [Contender(label, [path, *words], judges=judges)]
        self.missing.append(label)
        return []

    def command(self, path):
        """The program over many visits, its lines of JSON written; nothing where it can not do that yet."""
        program = self.build / 'stringline'
        told = subprocess.run([program, 'work', '--help'], stdout=subprocess.PIPE, text=True, check=False).stdout
        if '--verdicts' not in told:
            return []
        words = [program, 'work', '--json', '--lines', '--verdicts', '--house', self.book, path]
        return [Process('the same, as a command that writes JSON', words, of_verdict_lines(self.outcomes()), self.records)]

    def python(self, label, mode, *words):
        return [Contender(label, [sys.executable, HERE / 'peers' / 'by_hand.py', mode, *words])]

    def node(self, mode, path, count, names=('ajv', 'json-logic-engine', 'cel-js', 'json-rules-engine')):
        if not shutil.which('node') or not (self.npm / 'node_modules').exists():
            self.missing += names
            return []
        shutil.copy(HERE / 'peers' / 'npm.mjs', self.npm)  # packages are found beside the script
        words = [mode, path, self.forms, count]
        make = (lambda label, command: Process(label, command, hexadecimal, 1)) if mode == 'file' else Contender
        return [make(f'{name} (npm)', ['node', self.npm / 'npm.mjs', name, *words]) for name in names]

    def jq(self, label, path, records):
        if shutil.which('jq'):
            return [Process(label, ['jq', '-r', '-f', self.forms / 'rules.jq', path], of_jq, records)]
        self.missing.append('jq')
        return []

    def memory(self):
        words = [self.lines, self.forms]
        return [*self.compiled('Stringline', 'engine', 'memory', self.book),
                *self.compiled('the same, from plain numbers', 'engine', 'numbers', self.book, self.forms),
                *self.compiled('the same, with every reason', 'engine', 'full', self.book, FEW),
                *self.compiled('C++, hard-coded', 'hard_coded', 'memory', *words),
                *self.compiled('muParser', 'muparser', *words), *self.compiled('Lua 5.4', 'lua', *words),
                *self.compiled('SQLite', 'sqlite', *words), *self.compiled('CLIPS', 'clips', *words),
                *self.python('Python', 'memory', *words), *self.node('memory', self.lines, FEW)]

    def files(self):
        visits = self.book / 'visits'
        return [*self.compiled('Stringline', 'engine', 'files', self.book), *self.command(self.book),
                *self.compiled('the same, with every reason', 'engine', 'opened', self.book, FEW),
                *self.compiled('reading the bytes alone', 'bytes', 'read', visits, judges=False),
                *self.compiled('yaml-cpp events alone', 'bytes', 'events', visits, judges=False),
                *self.python('Python, PyYAML in C', 'files', visits, self.forms, FEW)]

    def process(self):
        visit, line = self.book / 'visits' / 'r00000.yaml', self.book / 'first.json'
        line.write_text(self.lines.read_text().split('\n', 1)[0] + '\n')
        hard = self.peers / 'bench_hard_coded'
        program = self.build / 'stringline'
        return [Process('Stringline, work', [program, 'work', visit], None, 1, judges=False),
                Process('Stringline, work --json', [program, 'work', visit, '--json'], of_work_json(self.outcomes()), 1),
                Process('an empty process', ['true'], None, 1, judges=False),
                Process('C++, hard-coded, yaml-cpp', [hard, 'file', visit, self.forms], hexadecimal, 1),
                Process('Python, PyYAML in C', [sys.executable, HERE / 'peers' / 'by_hand.py', 'file', visit, self.forms],
                        hexadecimal, 1),
                *self.jq('jq, from JSON', line, 1), *self.node('file', line, 1, ['ajv', 'cel-js'])]

    def lines_of_json(self):
        words = [self.lines, self.forms]
        few = self.book / 'few.jsonl'
        few.write_text(''.join(self.lines.read_text().splitlines(keepends=True)[:FEW]))
        return [*self.compiled('Stringline', 'engine', 'lines', self.book), *self.command(self.lines),
                *self.compiled('C++, hard-coded, nlohmann', 'hard_coded', 'lines', *words),
                *self.python('Python', 'lines', *words),
                *self.jq('jq', few, min(FEW, self.records)), *self.node('lines', self.lines, FEW)]

    def outcomes(self):
        return [line.split()[1:] for line in (self.book / 'outcomes.txt').read_text().splitlines()]


def differing(reference, verdicts):
    """The rules on which a contender disagrees, with how often."""
    counts = {}
    for ours, theirs in zip(reference, verdicts):
        for rule in range(RULES):
            if (ours ^ theirs) >> rule & 1:
                counts[f'r{rule + 1:02d}'] = counts.get(f'r{rule + 1:02d}', 0) + 1
    return counts


def compare(contenders, reference):
    for contender in contenders:
        if contender.judges:
            verdicts = contender.verdicts()
            wrong = differing(reference, verdicts)
            if wrong or len(verdicts) != min(contender.records, len(reference)):
                raise Wrong(f'{contender.label} judges otherwise: {wrong or len(verdicts)}')


def kept_counts(verdicts):
    return [sum(one >> rule & 1 for one in verdicts) for rule in range(RULES)]


def check_that_the_file_is_judged(bench, reference):
    """One limit is changed in the profile's text: the counts of its rule must follow, and no other's."""
    rule = next(rule for rule in workload.rules() if rule['f'] == 'nut_width')
    low, high, tighter = (book.number(x) for x in (rule['lo'], rule['hi'], 43.2005))
    other = bench.book.with_name(bench.book.name + '_changed')
    shutil.rmtree(other, ignore_errors=True)
    shutil.copytree(bench.book, other)
    text = (bench.book / 'profiles' / 'bench.yaml').read_text()
    changed = text.replace(f'{low} .. {high}', f'{low} .. {tighter}')
    (other / 'profiles' / 'bench.yaml').write_text(changed)
    contender = Contender('Stringline, a limit changed', [bench.peers / 'bench_engine', 'memory', other])
    contender.start()
    contender.ready()
    before, after = kept_counts(reference), kept_counts(contender.verdicts())
    contender.stop()
    at = int(rule['id'][1:]) - 1
    kept = sum(rule['lo'] <= one['readings']['nut_width'] <= 43.2005 for one in workload.records(bench.records))
    if after[at] != kept or after[at] == before[at] or before[:at] != after[:at] or before[at + 1:] != after[at + 1:]:
        raise Wrong(f'a changed limit: {rule["id"]} is kept {before[at]} times, then {after[at]}, and not {kept}')


def warm_up(contender):
    """As long as it takes to be compiled: a second and a half of its own time."""
    seconds = 0.0
    while seconds < 1.5:
        seconds += max(0.1, contender.time() * contender.records)


def run_section(contenders, rounds, reference):
    for contender in contenders:
        contender.start()
    for contender in contenders:
        contender.ready()
    try:
        compare(contenders, reference)
        for contender in contenders:
            if 'npm' in contender.label:  # compiled while it runs
                warm_up(contender)
        for _ in range(rounds):
            for contender in contenders:
                contender.times.append(contender.time())
    finally:
        for contender in contenders:
            contender.stop()


def short(x):
    """Three digits, and all of a whole number that has more."""
    return f'{x:.3g}' if x < 100 else f'{x:,.0f}'


def microseconds(seconds):
    return short(seconds * 1e6)


def table(title, unit, contenders):
    ours = statistics.median(contenders[0].times)
    rows = [('', f'us {unit}', 'lowest .. highest', 'Stringline = 1', 'records')]
    for one in contenders:
        middle = statistics.median(one.times)
        rows.append((one.label, microseconds(middle), f'{microseconds(min(one.times))} .. {microseconds(max(one.times))}',
                     short(middle / ours), f'{one.records:,}'))
    widths = [max(len(row[column]) for row in rows) for column in range(5)]
    print(f'\n{title}')
    for row in rows:
        print('  ' + row[0].ljust(widths[0]) + ''.join('  ' + word.rjust(width) for word, width in zip(row[1:], widths[1:])))


def of_hard_coded(bench):
    (contender,) = bench.compiled('C++, hard-coded', 'hard_coded', 'memory', bench.lines, bench.forms)
    contender.start()
    contender.ready()
    verdicts = contender.verdicts()
    contender.stop()
    return verdicts


def ours(contenders):
    return [one for one in contenders if one.label.startswith(('Stringline', 'the same'))]


def verdicts_only(bench):
    reference = of_hard_coded(bench)
    contenders = [*ours(bench.memory()), *ours(bench.files()), *ours(bench.lines_of_json()),
                  *bench.python('Python', 'memory', bench.lines, bench.forms),
                  *bench.python('Python, PyYAML in C', 'files', bench.book / 'visits', bench.forms)]
    run_section(contenders, 0, reference)
    check_that_the_file_is_judged(bench, reference)
    counts = kept_counts(reference)
    if min(counts) == len(reference) or not 0 < sum(counts) < RULES * len(reference):
        raise Wrong('a draw without a broken rule shows nothing')
    print(f'{RULES} rules, {len(reference)} records, {1 + len(contenders)} ways to judge them: equal verdicts')


SECTIONS = {
    'memory': ('(a) records in memory', 'a record', Bench.memory),
    'files': ('(b) from YAML files', 'a file', Bench.files),
    'process': ('(c) one file, the whole process', 'a process', Bench.process),
    'lines': ('(d) from JSON Lines', 'a record', Bench.lines_of_json)}


def side_by_side(bench, rounds, only):
    reference = of_hard_coded(bench)
    check_that_the_file_is_judged(bench, reference)
    for name in only:
        title, unit, contenders = SECTIONS[name]
        running = contenders(bench)
        run_section(running, rounds * 3 if name == 'process' else rounds, reference)
        table(f'{title}: verdicts equal; medians of {len(running[0].times)} interleaved runs', unit, running)
    if bench.missing:
        print(f'\nnot installed, and left out: {", ".join(dict.fromkeys(bench.missing))}')


def main():
    asked = argparse.ArgumentParser()
    asked.add_argument('build')
    asked.add_argument('--records', type=int, default=5000)
    asked.add_argument('--rounds', type=int, default=5)
    asked.add_argument('--only', default=','.join(SECTIONS))
    asked.add_argument('--verdicts', action='store_true')
    words = asked.parse_args()
    bench = Bench(words.build, words.records)
    try:
        import yaml
        yaml.CSafeLoader
    except (ImportError, AttributeError):
        print('Python has no YAML with a loader in C (python3-yaml): skipped')
        return 77
    try:
        verdicts_only(bench) if words.verdicts else side_by_side(bench, words.rounds, words.only.split(','))
    except Wrong as wrong:
        print(wrong, file=sys.stderr)
        return 1
    return 0


if __name__ == '__main__':
    sys.exit(main())
