// npm's peers: npm.mjs PEER MODE VISITS.JSONL FORMS [COUNT]. PEER: ajv, json-logic-engine, cel-js or json-rules-engine. MODE: memory, lines,
// or file (one visit, the whole process). It obeys the lines that contender.h describes.
import {readFileSync} from 'node:fs'
import {createInterface} from 'node:readline'
import {pathToFileURL} from 'node:url'

const [peer, mode, path, folder, count] = process.argv.slice(2)
const forms = await import(pathToFileURL(`${folder}/rules.mjs`))

// Readings over the strings as lists: what suits every peer but one.
function listed(visit) {
  const read = visit.log[0].read
  const record = {style: visit.player.style}
  for (const name of forms.scalars) record[name] = read[name]
  for (const name of forms.strings) record[name] = Object.values(read[name])
  return record
}

function flat(visit) {
  const record = listed(visit)
  for (const name of forms.strings) record[name].forEach((value, at) => (record[`${name}_${at + 1}`] = value))
  return record
}

// Bit 0 is set when rule 1 is kept.
const asNumber = (kept) => kept.reduce((all, one, bit) => (one ? all | (1n << BigInt(bit)) : all), 0n)

const peers = {
  async ajv() {
    const {default: Ajv} = await import('ajv/dist/2020.js')
    const ajv = new Ajv({strict: false})
    ajv.addKeyword({
      keyword: 'computed',
      compile: ({of, minimum = -Infinity, maximum = Infinity}) => {
        const value = new Function('r', `return ${of}`)
        return (record) => value(record) >= minimum && value(record) <= maximum
      },
    })
    const rules = forms.schemas.map((schema) => ajv.compile(schema))
    return {shape: listed, judge: (record) => rules.map((rule) => rule(record))}
  },
  async 'json-logic-engine'() {
    const {LogicEngine} = await import('json-logic-engine')
    const engine = new LogicEngine()
    const rules = forms.jsonLogic.map((rule) => engine.build(rule))
    return {shape: listed, judge: (record) => rules.map((rule) => rule(record))}
  },
  async 'cel-js'() {
    const {Environment} = await import('@marcbachmann/cel-js')
    const env = new Environment({unlistedVariablesAreDyn: false})
      .registerVariable('style', 'string')
      .registerFunction('largest(list<double>): double', (list) => Math.max(...list))
      .registerFunction('smallest(list<double>): double', (list) => Math.min(...list))
    for (const name of forms.scalars) env.registerVariable(name, 'double')
    for (const name of forms.strings) env.registerVariable(name, 'list<double>')
    const rules = forms.cel.map((rule) => env.parse(rule))
    return {shape: listed, judge: (record) => rules.map((rule) => rule(record))}
  },
  async 'json-rules-engine'() {
    const {default: lib} = await import('json-rules-engine')
    const engine = new lib.Engine()
    forms.rulesEngine.forEach((conditions, bit) => engine.addRule({conditions, event: {type: 'kept', params: {bit}}}))
    for (const [fact, value] of Object.entries(forms.functions))
      engine.addFact(fact, async (_, almanac) => value(await almanac.factValue('record')))
    return {
      shape: flat,
      judge: async (record) => {
        const kept = new Array(forms.rulesEngine.length).fill(false)
        for (const event of (await engine.run({...record, record})).events) kept[event.params.bit] = true
        return kept
      },
    }
  },
}

const {shape, judge} = await peers[peer]()
const lines = () => readFileSync(path, 'utf8').trimEnd().split('\n').slice(0, count)
const records = mode === 'memory' ? lines().map((line) => shape(JSON.parse(line))) : []
const waits = peer === 'json-rules-engine'

async function run() {
  const all = mode === 'memory' ? records : lines().map((line) => shape(JSON.parse(line)))
  const kept = []
  for (const record of all) kept.push(waits ? await judge(record) : judge(record))
  return kept
}

// Of the processor, as contender.h has it.
function seconds() {
  const {user, system} = process.cpuUsage()
  return (user + system) / 1e6
}

async function secondsOfARun() {
  const start = seconds()
  let runs = 0
  do {
    await run()
    ++runs
  } while (seconds() - start < 0.1)
  return (seconds() - start) / runs
}

if (mode === 'file') {
  console.log(asNumber((await run())[0]).toString(16))
} else {
  console.log('ready', (await run()).length)
  for await (const command of createInterface({input: process.stdin})) {
    if (command === 'verdicts') console.log((await run()).map((kept) => asNumber(kept).toString(16)).join('\n'))
    else console.log(await secondsOfARun())
  }
}
