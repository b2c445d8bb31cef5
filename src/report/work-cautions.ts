/** Which cautions belong beside work that is to be done: each once, and only where such work is there. */
import type { DueItem } from '../due/due-work.ts';
import { CAUTIONS, type Caution, type CautionKey } from './cautions.ts';
import type { ReportContext } from './context.ts';
import { isFermenting } from './ferment.ts';

/** Work that is to be done, as far as it can hurt. */
export interface WorkAhead {
  /** Its verb, or `reading`. */
  readonly verb: string;
  /** Must or wine that ferments, or has not been drained off its skins, lies in the vessel. */
  readonly fermenting: boolean;
  /** What kind of material goes in, and the substance it is, where one does. */
  readonly material?: string | undefined;
  readonly substance?: string | undefined;
}

/** Work by which people lean over must or wine, or stand high. */
const FROM_ABOVE: ReadonlySet<string> = new Set([
  'punch-down',
  'pump-over',
  'rack-and-return',
  'stir',
  'dip',
  'sample',
  'top',
]);
/** Work by which must leaves its skins, and somebody may want to reach or climb in. */
const EMPTIES_BINS: ReadonlySet<string> = new Set(['drain', 'press', 'bleed']);
const PUMPED: ReadonlySet<string> = new Set([
  ...['pump-over', 'rack-and-return', 'drain', 'transfer', 'rack', 'blend', 'filter', 'bottle', 'press', 'bleed'],
]);
const LIFTED: ReadonlySet<string> = new Set(['press', 'rack', 'bottle']);

const RULES: readonly (readonly [key: CautionKey, applies: (work: WorkAhead) => boolean])[] = [
  ['carbon dioxide', ({ fermenting, verb }) => fermenting || EMPTIES_BINS.has(verb) || verb === 'gas'],
  ['entry', ({ fermenting, verb }) => (fermenting && verb !== 'reading') || EMPTIES_BINS.has(verb)],
  ['heights', ({ fermenting, verb }) => FROM_ABOVE.has(verb) || (fermenting && verb === 'add')],
  ['presses', ({ verb }) => verb === 'press'],
  ['hoses', ({ verb }) => PUMPED.has(verb)],
  ['lifting', ({ verb }) => LIFTED.has(verb)],
  [
    'sulfur dioxide',
    ({ material, substance }) => material === 'sulfite' || (substance ?? '').includes('metabisulfite'),
  ],
  ['cleaning and acids', ({ material, verb }) => material === 'acid' || material === 'cleaner' || verb === 'clean'],
];

/** In one order, whatever the order of the work. */
export const cautionsBeside = (work: readonly WorkAhead[]): Caution[] =>
  RULES.filter(([, applies]) => work.some(applies)).map(([key]) => CAUTIONS[key]);

/** What an item is, as far as it can hurt. */
function workAhead(context: ReportContext, { row, lot }: DueItem): WorkAhead {
  const { work } = row;
  const fermenting = isFermenting(context, lot);
  switch (work.kind) {
    case 'reading':
      return { verb: 'reading', fermenting };
    case 'verb':
      return { verb: work.verb, fermenting };
    case 'material kind':
      return { verb: work.verb, fermenting, material: work.of };
    case 'material': {
      const facts = context.book.materials[work.material];
      return { verb: work.verb, fermenting, material: facts?.kind, substance: facts?.substance };
    }
  }
}

/** Those beside work that is due. */
export const cautionsOfItems = (context: ReportContext, items: readonly DueItem[]): Caution[] =>
  cautionsBeside(items.map((item) => workAhead(context, item)));
