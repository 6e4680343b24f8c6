"""A Python script as a shop would write it, the rules as code: on visits in memory (`memory`), from YAML files through PyYAML's
C loader (`files`), from JSON Lines (`lines`), or one YAML file, the whole process (`file`).

by_hand.py MODE PATH FORMS [COUNT]. It obeys the lines that contender.h describes.
"""
import json
import os
import sys
import time

mode, path, forms = sys.argv[1:4]
count = int(sys.argv[4]) if len(sys.argv) > 4 else None
sys.dont_write_bytecode = True
sys.path.insert(0, forms)


def judged(kept_rules, visit):
    return kept_rules(visit['player']['style'], visit['log'][0]['read'])


if mode in ('files', 'file'):
    import yaml
    from by_hand_yaml import kept_rules
else:
    from by_hand_json import kept_rules


def of_file(name):
    with open(name, encoding='utf-8') as file:
        return judged(kept_rules, yaml.load(file, yaml.CSafeLoader))


def lines():
    with open(path, encoding='utf-8') as file:
        return file.read().splitlines()[:count]


def runner():
    if mode == 'memory':
        visits = [json.loads(line) for line in lines()]
        return lambda: [judged(kept_rules, visit) for visit in visits]
    if mode == 'lines':
        return lambda: [judged(kept_rules, json.loads(line)) for line in lines()]
    paths = [os.path.join(path, name) for name in sorted(os.listdir(path))[:count]]
    return lambda: [of_file(name) for name in paths]


def seconds_of_a_run(run):
    start, runs = time.process_time(), 0
    while not runs or time.process_time() - start < 0.1:
        run()
        runs += 1
    return (time.process_time() - start) / runs


def serve(run):
    print('ready', len(run()), flush=True)
    for command in sys.stdin:
        if command.strip() == 'verdicts':
            print('\n'.join(f'{one:x}' for one in run()), flush=True)
        else:
            print(seconds_of_a_run(run), flush=True)


if mode == 'file':
    print(f'{of_file(path):x}')
else:
    serve(runner())
