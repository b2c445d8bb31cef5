/** Bottled wine: what was filled, what it is, where the bottles went, what is on hand, and what counts found. */
import type { Happening, LotRecord } from '../cellar/book.ts';
import type { Bottles, LotId, Microlitres } from '../journal/events.ts';
import { CAUTIONS, type Caution } from './cautions.ts';
import { claimsLink } from './claims.ts';
import { compositionOf } from './composition.ts';
import { type Fact, type Figure, figureAt, happeningsOf, type ReportContext } from './context.ts';
import { dayOf, dayText, isoDay, timeText } from './dates.ts';
import { bottlesText, bottleText, namedMeasureText, volumeText } from './figures.ts';
import { capital, counted, nameList } from './names.ts';
import { readingsIn } from './readings.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetRow } from './sheet.ts';
import { strengthOf } from './strength.ts';

export interface BottledModel {
  readonly path: string;
  readonly lead: string;
  readonly held: Sheet | undefined;
  readonly gone: Sheet | undefined;
  readonly went: Sheet | undefined;
}

/** A bottling that is all gone is listed so long as there are no more than this; the others are found by search and by vintage. */
const MOST_GONE = 200;
const MOST_HELD = 250;
const MOST_WENT = 120;

const bottleCount = (bottles: readonly Bottles[]): number => bottles.reduce((sum, { count }) => sum + count, 0);
const bottleVolume = (bottles: readonly Bottles[]): Microlitres =>
  bottles.reduce((sum, { count, size }) => sum + count * size, 0);

/** The lots that hold or held bottles, the newest first. */
export function bottlingsOf({ book }: ReportContext): readonly LotRecord[] {
  return book.lots
    .filter(({ facts }) => facts.bottling)
    .sort((a, b) => b.facts.since - a.facts.since || b.facts.id - a.facts.id);
}

export function bottledModel(context: ReportContext): BottledModel {
  const all = bottlingsOf(context);
  const held = all.filter(({ bottles }) => bottleCount(bottles) > 0);
  const gone = all.filter(({ bottles }) => bottleCount(bottles) <= 0);
  const onHand = held.flatMap(({ bottles }) => bottles);
  return {
    path: 'bottled.html',
    lead:
      all.length === 0
        ? ''
        : `${capital(counted(bottleCount(onHand), 'bottle'))} of ${counted(held.length, 'bottling')} on hand, ${volumeText(bottleVolume(onHand), context.settings)}.`,
    held: held.length === 0 ? undefined : listOf(context, held, MOST_HELD, 'Bottlings on hand, the newest first'),
    gone:
      gone.length === 0
        ? undefined
        : listOf(context, gone, MOST_GONE, 'Bottlings of which none is left, the newest first'),
    went: wentSheet(context, all),
  };
}

function listOf(context: ReportContext, lots: readonly LotRecord[], most: number, caption: string): Sheet {
  const { links } = context;
  const shown = lots.slice(0, most);
  return {
    label: caption.split(',')[0] ?? caption,
    caption: shown.length === lots.length ? caption : `${caption}: ${shown.length} of ${lots.length}`,
    columns: [
      { name: 'Bottling' },
      { name: 'Since', kind: 'nowrap' },
      { name: 'Of' },
      { name: 'What', kind: 'words' },
      { name: 'Filled', kind: 'words' },
      { name: 'On hand', kind: 'words' },
      { name: 'Volume', kind: 'number' },
    ],
    rows: shown.map((lot) => {
      const { id, place, since } = lot.facts;
      const parents = lot.parents.map((parent) => links.lot(parent.lot));
      return {
        cells: [
          figures([links.bottling(id)]),
          { figures: [figureAt(context, dayText(dayOf(since)), place)], iso: isoDay(dayOf(since)) },
          figures(parents.slice(0, 3), parents.length > 3 ? `and ${parents.length - 3} more` : ''),
          cell(wordsOf(context, lot, 2), claimsLink(context, lot)?.href),
          cell(bottlesText(lot.bottlesFilled)),
          cell(bottlesText(lot.bottles), `${links.bottling(id).href ?? ''}#went`),
          cell(volumeText(bottleVolume(lot.bottles), context.settings)),
        ],
      };
    }),
    sort: true,
  };
}

/** What a bottling is made of in words: `62.1 % Grenache ladder-2 2026, 20 % Syrah ladder-1 2026`. */
function wordsOf(context: ReportContext, lot: LotRecord, most: number): string {
  const rows = compositionOf(context, lot)?.rows ?? [];
  const told = rows.map(({ share, variety, block, vintage }) =>
    [rows.length === 1 ? '' : share, variety, block, vintage].filter((word) => word !== '').join(' '),
  );
  const rest = told.length - most;
  return rest > 0 ? `${told.slice(0, most).join(', ')} and ${rest} more` : told.join(', ');
}

/** A dispatch, a sample, a loss or a count of bottles of one bottling. */
interface Step {
  readonly happening: Happening;
  readonly kind: 'filled' | 'found' | 'went' | 'counted';
  readonly bottles: readonly Bottles[];
  /** What for, in words; empty for what came. */
  readonly why: string;
  readonly to: string;
  /** At a count: bottles that were more, or less (below zero), by size. */
  readonly differences: readonly Bottles[];
}

const WENT: Readonly<Record<'dispatch' | 'loss' | 'sample', string>> = {
  dispatch: 'for ',
  loss: 'lost: ',
  sample: 'drawn as a ',
};

function stepsOf(context: ReportContext, lot: LotRecord): Step[] {
  const { id } = lot.facts;
  return happeningsOf(context, lot.happenings).flatMap((happening): Step[] => {
    const { event } = happening;
    const step = (kind: Step['kind'], bottles: readonly Bottles[], more: Partial<Step> = {}): Step => ({
      happening,
      kind,
      bottles,
      why: '',
      to: '',
      differences: [],
      ...more,
    });
    if (event.kind === 'bottle' && event.as === id) return [step('filled', event.bottles)];
    if (event.kind === 'found' && event.as === id && event.bottles.length > 0) return [step('found', event.bottles)];
    if (event.kind === 'leave') {
      const own = event.bottles.filter((one) => one.lot === id).map(({ bottles }) => bottles);
      if (own.length === 0) return [];
      return [step('went', own, { why: WENT[event.how] + event.why, to: event.to ?? '' })];
    }
    if (event.kind === 'count') {
      const own = event.bottles.filter((one) => one.lot === id).map(({ bottles }) => bottles);
      return own.length === 0 ? [] : [step('counted', own, { differences: differencesOf(happening, id, own) })];
    }
    return [];
  });
}

/** A count's differences: the book moved so much to take it over, in the order of the sizes that differed. */
function differencesOf({ movements }: Happening, id: LotId, counts: readonly Bottles[]): Bottles[] {
  const moved = movements.flatMap((movement) =>
    movement.kind === 'bottles' && movement.lot === id && movement.how === 'dip'
      ? [movement.direction === 'in' ? movement.volume : -movement.volume]
      : [],
  );
  const found: Bottles[] = [];
  let at = 0;
  for (const volume of moved) {
    // the sizes stand in the order they were counted; the first that divides it is the one
    const from = counts.findIndex(({ size }, index) => index >= at && volume % size === 0);
    const size = counts[from]?.size;
    if (size === undefined) continue;
    found.push({ size, count: volume / size });
    at = from + 1;
  }
  return found;
}

function wentSheet(context: ReportContext, lots: readonly LotRecord[]): Sheet | undefined {
  const groups = new Map<string, { why: string; to: string; bottles: number; volume: number; last: Happening }>();
  for (const lot of lots) {
    for (const { kind, why, to, bottles, happening } of stepsOf(context, lot)) {
      if (kind !== 'went') continue;
      const key = JSON.stringify([why, to]);
      const group = groups.get(key);
      const [count, volume] = [bottleCount(bottles), bottleVolume(bottles)];
      if (group === undefined) groups.set(key, { why, to, bottles: count, volume, last: happening });
      else {
        group.bottles += count;
        group.volume += volume;
        if (happening.index > group.last.index) group.last = happening;
      }
    }
  }
  if (groups.size === 0) return undefined;
  const all = [...groups.values()].sort((a, b) => b.volume - a.volume || (a.why + a.to < b.why + b.to ? -1 : 1));
  const shown = all.slice(0, MOST_WENT);
  return {
    label: 'Where bottles went',
    caption:
      shown.length === all.length
        ? 'All bottlings together: by what for, and to whom'
        : `All bottlings together: by what for, and to whom; the ${shown.length} largest of ${all.length}`,
    columns: [
      { name: 'What for' },
      { name: 'To' },
      { name: 'Bottles', kind: 'number' },
      { name: 'Volume', kind: 'number' },
      { name: 'Last', kind: 'nowrap' },
    ],
    rows: shown.map(({ why, to, bottles, volume, last }) => ({
      cells: [
        cell(why),
        cell(to),
        cell(String(bottles)),
        cell(volumeText(volume, context.settings)),
        lastCell(context, last),
      ],
    })),
    sort: true,
  };
}

function lastCell(context: ReportContext, { event }: Happening): SheetCell {
  const day = dayOf(event.minute);
  return { figures: [figureAt(context, dayText(day), event.place)], iso: isoDay(day) };
}

export interface BottlingModel {
  readonly path: string;
  readonly name: string;
  readonly lead: string;
  readonly lot: Figure;
  readonly facts: readonly Fact[];
  readonly composition: string;
  readonly claimsCaution: Caution;
  readonly labels: readonly { readonly text: string; readonly line: Figure }[];
  readonly went: Sheet | undefined;
  readonly steps: Sheet | undefined;
}

const MOST_STEPS = 300;

export function bottlingModel(context: ReportContext, lot: LotRecord): BottlingModel {
  const { links, settings } = context;
  const { id, name } = lot.facts;
  const steps = stepsOf(context, lot);
  const labels = happeningsOf(context, lot.happenings).filter(({ event }) => event.verb === 'label');
  return {
    path: links.bottling(id).href ?? '',
    name,
    lead: `${bottlesText(lot.bottles)} on hand, ${volumeText(bottleVolume(lot.bottles), settings)}, of ${bottlesText(lot.bottlesFilled)} filled.`,
    lot: links.lot(id),
    facts: factsOf(context, lot, steps),
    composition: wordsOf(context, lot, 12),
    claimsCaution: CAUTIONS['label claims'],
    labels: labels.map(({ event }) => ({
      text:
        event.kind === 'kept'
          ? event.details.replace(/^label\s+(?:"[^"]*"|\S+)\s*/u, '').replace(/\s--\s.*$/u, '')
          : '',
      line: links.line(event.place),
    })),
    went: ownWentSheet(context, steps),
    steps: stepSheet(context, steps),
  };
}

function factsOf(context: ReportContext, lot: LotRecord, steps: readonly Step[]): Fact[] {
  const { links } = context;
  const facts: Fact[] = [];
  const add = (name: string, ...list: Figure[]): void => {
    if (list.some(({ text }) => text !== '')) facts.push({ name, figures: list });
  };
  const fillings = steps.filter(({ kind }) => kind === 'filled');
  const at = ({ happening: { event } }: Step): Figure => figureAt(context, dayText(dayOf(event.minute)), event.place);
  add('filled', ...fillings.map(at));
  add('found', ...steps.filter(({ kind }) => kind === 'found').map(at));
  add('of', ...lot.parents.map((parent) => links.lot(parent.lot)));
  const said = (pick: (event: Happening['event'] & { readonly kind: 'bottle' }) => string): Figure[] =>
    fillings.flatMap(({ happening: { event } }) =>
      event.kind === 'bottle' && pick(event) !== '' ? [figureAt(context, pick(event), event.place)] : [],
    );
  add('closure', ...said(({ closure }) => closure ?? ''));
  add('code', ...said(({ code }) => code ?? ''));
  add('lost in filling', ...said(({ loss }) => (loss === undefined ? '' : volumeText(loss, context.settings))));
  const before = sourceHappenings(context, lot, fillings);
  const strength = strengthOf(context, before);
  if (strength !== undefined) add('alcohol at filling', { ...strength.line, text: strength.text });
  const sulfur = lastOf(context, before, ['free SO2', 'total SO2']);
  add('SO2 before filling', ...sulfur);
  add('read before filling', ...lastOf(context, before, ['pH', 'dissolved oxygen', 'CO2', 'turbidity', 'VA']));
  const counts = steps.filter(({ kind }) => kind === 'counted');
  const last = counts.at(-1);
  if (last !== undefined) add('last counted', at(last));
  return facts;
}

/** What happened to the wine before it was filled. */
function sourceHappenings(context: ReportContext, lot: LotRecord, fillings: readonly Step[]): Happening[] {
  const filled = fillings.at(-1)?.happening;
  if (filled === undefined) return [];
  const indexes = new Set(lot.parents.flatMap((parent) => context.book.lots[parent.lot]?.happenings ?? []));
  return happeningsOf(
    context,
    [...indexes].sort((a, b) => a - b),
  ).filter(({ index }) => index <= filled.index);
}

/** The newest figure of each analyte, and the day or days they were read. */
function lastOf(context: ReportContext, happenings: readonly Happening[], analytes: readonly string[]): Figure[] {
  const readings = readingsIn(happenings).reverse();
  const days = new Set<string>();
  const found = analytes.flatMap((analyte) => {
    for (const { event, minute } of readings) {
      const measure = event.measures.find((one) => one.analyte === analyte);
      if (measure === undefined) continue;
      days.add(dayText(dayOf(minute)));
      return [figureAt(context, namedMeasureText(measure, context.settings), event.place)];
    }
    return [];
  });
  return found.length === 0 ? [] : [...found, { text: `on ${nameList([...days].reverse(), 3)}` }];
}

function ownWentSheet(context: ReportContext, steps: readonly Step[]): Sheet | undefined {
  const groups = new Map<string, { why: string; to: string[]; bottles: Map<number, number> }>();
  for (const { kind, why, to, bottles } of steps) {
    if (kind !== 'went') continue;
    const group = groups.get(why) ?? { why, to: [], bottles: new Map<number, number>() };
    groups.set(why, group);
    if (to !== '' && !group.to.includes(to)) group.to.push(to);
    for (const { size, count } of bottles) group.bottles.set(size, (group.bottles.get(size) ?? 0) + count);
  }
  if (groups.size === 0) return undefined;
  return {
    label: 'Where they went',
    caption: 'What they went for, and to whom',
    columns: [
      { name: 'What for' },
      { name: 'To', kind: 'words' },
      { name: 'Bottles', kind: 'words' },
      { name: 'Volume', kind: 'number' },
    ],
    rows: [...groups.values()].map(({ why, to, bottles }) => {
      const list = [...bottles].map(([size, count]) => ({ size, count }));
      return {
        cells: [
          cell(why),
          cell(nameList(to, 8)),
          cell(bottlesText(list)),
          cell(volumeText(bottleVolume(list), context.settings)),
        ],
      };
    }),
    sort: false,
  };
}

const DONE: Readonly<Record<Step['kind'], string>> = {
  filled: 'filled',
  found: 'found',
  went: '',
  counted: 'counted',
};

function stepSheet(context: ReportContext, steps: readonly Step[]): Sheet | undefined {
  if (steps.length === 0) return undefined;
  const shown = steps.slice(-MOST_STEPS);
  const row = ({ happening: { event }, kind, why, to, bottles, differences }: Step): SheetRow => ({
    cells: [
      {
        figures: [{ text: dayText(dayOf(event.minute)) }],
        iso: isoDay(dayOf(event.minute)),
        quiet: timeText(event.minute),
      },
      cell(DONE[kind] === '' ? why : DONE[kind]),
      cell(bottlesText(bottles)),
      kind === 'counted' ? cell(differenceText(differences)) : to === '' ? EMPTY : cell(to),
      figures([context.links.line(event.place)]),
    ],
  });
  return {
    label: 'Every filling, dispatch and count',
    caption:
      shown.length === steps.length
        ? 'In the order of time'
        : `The last ${shown.length} of ${steps.length}, in the order of time`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'What' },
      { name: 'Bottles', kind: 'words' },
      { name: 'To; what a count found', kind: 'words' },
      { name: 'Line', kind: 'line' },
    ],
    rows: shown.map(row),
    sort: true,
  };
}

function differenceText(differences: readonly Bottles[]): string {
  if (differences.length === 0) return 'as the book had it';
  return differences
    .map(({ count, size }) => `${Math.abs(count)} × ${bottleText(size)} ${count < 0 ? 'missing' : 'more'}`)
    .join(', ');
}
