/** What accounts of wine and their lines are called, and what they are to those who ask for them. */
import type { AccountKind, AskedKey, LineKey, VolumeRules, WineClass } from '../law/volume-rules.ts';

const CAME: Readonly<Partial<Record<LineKey, string>>> = {
  made: 'made from fruit',
  found: 'found when the record began',
  bought: 'received',
  produced: 'produced by fermentation',
  juice: 'must or juice poured in',
  liquid: 'water and solutions added',
  blended: 'blended in from another class',
  effervescent: 'made effervescent, or still again',
  corrected: 'of another class, as a reading showed',
  gain: 'gained at dips and counts',
  settled: 'more than was estimated',
  refermented: 'wine that went back to ferment',
  bottled: 'bottled',
};

const WENT: Readonly<Record<LineKey, string>> = {
  made: 'made',
  found: 'found',
  bought: 'received',
  produced: 'became wine',
  juice: 'poured into wine',
  liquid: 'liquids',
  blended: 'blended into another class',
  effervescent: 'made effervescent, or still again',
  corrected: 'of another class, as a reading showed',
  gain: 'gained',
  settled: 'less than was estimated',
  refermented: 'went back to ferment',
  bottled: 'bottled',
  sample: 'drawn as samples',
  'for sale': 'dispatched for sale',
  'for bond': 'dispatched in bond',
  'for tasting': 'dispatched for tasting',
  'for samples': 'dispatched as samples',
  'for distilling': 'dispatched for distilling',
  'for vinegar': 'dispatched for vinegar',
  'for export': 'dispatched for export',
  'for destroyed': 'dispatched to be destroyed',
  lees: 'lost with the lees',
  pomace: 'left with the pomace',
  spill: 'lost by spilling',
  leak: 'lost by leaking',
  evaporation: 'lost by evaporation',
  breakage: 'lost by breakage',
  spoilage: 'lost by spoilage',
  cleaning: 'lost in cleaning',
  theft: 'lost by theft',
  handling: 'lost in handling',
  other: 'lost otherwise',
  short: 'missing at dips and counts',
};

export const lineName = (way: 'in' | 'out', key: LineKey): string =>
  (way === 'in' ? CAME[key] : undefined) ?? WENT[key];

const MUST = 'Must and juice, not yet wine';

/** `Still wine up to 16 %, in vessels` */
export function accountName(kind: AccountKind, wineClass: WineClass | undefined): string {
  if (kind === 'must') return MUST;
  return `${wineClass?.title ?? 'Wine'}, in ${kind === 'bulk' ? 'vessels' : 'bottle'}`;
}

/** Under what a law asks for a line; empty where nobody does. */
export const askedFor = ({ asked }: VolumeRules, key: AskedKey): string => asked?.lines[key] ?? '';
