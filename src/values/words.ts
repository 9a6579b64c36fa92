import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'
import type { Fluid } from './units.ts'

export type Purpose = 'fire' | 'jettison' | 'emergency' | 'training' | 'ground-test'
export type Witness = 'controller' | 'crew' | 'tracker' | 'ticket' | 'dispatch' | 'manual'
export type YesNo = 'yes' | 'no'
export type YesNoUnknown = YesNo | 'unknown'
export type HoursRounding = 'half-up' | 'up' | 'down'

/** Trade spellings of a closed list of words; keys are lower case with single spaces for `-`, `_`, `/` and `.`. */
type Spellings<T extends string> = Readonly<Record<T, readonly string[]>>

const fluids: Spellings<Fluid> = {
  water: ['water', 'wtr', 'h2o', 'w', 'plain water', 'lake water'],
  retardant: [
    'retardant',
    'ret',
    'retard',
    'rtd',
    'ltr',
    'lt retardant',
    'long term retardant',
    'r',
    'mud',
    'slurry',
  ],
  gel: ['gel', 'water enhancer', 'enhancer', 'we', 'gel water enhancer', 'water enhancer gel'],
  foam: ['foam', 'class a foam', 'a foam', 'f', 'suppressant', 'foamed water'],
}

const purposes: Spellings<Purpose> = {
  fire: [
    'fire',
    'drop',
    'fire drop',
    'incident',
    'operational',
    'ia',
    'initial attack',
    'extended attack',
    'split',
    'salvo',
    'line',
    'suppression',
  ],
  jettison: [
    'jettison',
    'jett',
    'jet',
    'jettisoned',
    'controlled jettison',
    'abort',
    'aborted',
    'load jettison',
  ],
  emergency: [
    'emergency',
    'emer',
    'emerg',
    'emergency dump',
    'emergency drop',
    'emergency release',
    'e dump',
    'edump',
    'dump',
  ],
  training: [
    'training',
    'train',
    'trng',
    'practice',
    'practise',
    'proficiency',
    'check ride',
    'evaluation',
    'demo',
  ],
  'ground-test': [
    'ground test',
    'gnd test',
    'grnd test',
    'ground',
    'door test',
    'doors test',
    'function test',
    'functional test',
    'ground check',
    'test',
  ],
}

const witnesses: Spellings<Witness> = {
  controller: ['controller', 'tank controller', 'gate controller', 'door controller'],
  crew: ['crew', 'pilot', 'flight crew', 'crew log'],
  tracker: ['tracker', 'gps', 'telemetry', 'aff', 'position tracker'],
  ticket: ['ticket', 'loading ticket', 'load ticket', 'base'],
  dispatch: ['dispatch', 'dispatcher'],
  manual: ['manual', 'by hand', 'hand'],
}

const yesNo: Spellings<YesNo> = {
  yes: ['yes', 'y', 'true', 't', '1', 'x', '✓'],
  no: ['no', 'n', 'false', 'f', '0'],
}

const yesNoUnknown: Spellings<YesNoUnknown> = {
  ...yesNo,
  unknown: ['unknown', 'unk', 'u', '?', 'not known', 'not observed', 'not seen', 'undetermined'],
}

const hoursRoundings: Spellings<HoursRounding> = {
  'half-up': ['half up', 'nearest', 'half'],
  up: ['up', 'ceiling'],
  down: ['down', 'floor'],
}

const wordKey = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[-_/.]+/g, ' ')
    .replace(/ +/g, ' ')
    .trim()

/** A reader of a closed list of words; its refusal lists what may be written. */
function reader<T extends string>(what: string, spellings: Spellings<T>): (text: string) => Read<T> {
  const words = Object.keys(spellings) as T[]
  const table = new Map(
    words.flatMap((word) => spellings[word].map((spelling): [string, T] => [spelling, word])),
  )
  return (text) => {
    const cell = tidy(text)
    if (cell === null) return bad('blank')
    const word = table.get(wordKey(cell))
    return word ? good(word) : bad(`not a ${what} (${words.join(', ')})`)
  }
}

export const readFluid = reader('fluid', fluids)
export const readPurpose = reader('purpose', purposes)
export const readWitness = reader('witness', witnesses)
export const readYesNo = reader('yes or no', yesNo)
export const readYesNoUnknown = reader('yes, no or unknown', yesNoUnknown)
export const readHoursRounding = reader('way of rounding', hoursRoundings)
