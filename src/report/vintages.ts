/** The vintages, each at a glance and beside the others: fruit in, must, wine, bottled, lost, and what was read. */
import type { LotRecord } from '../cellar/book.ts';
import type { Microlitres } from '../journal/events.ts';
import { type Fact, type Figure, figureAt, lotOf, type ReportContext } from './context.ts';
import { dayOf, dayText, isoDay, shortDayText } from './dates.ts';
import { spanOf } from './ferments.ts';
import { bottlesText, massText, namedMeasureText, shareText, volumeText } from './figures.ts';
import { firstReadings } from './first-readings.ts';
import { type Load, loadsByVintage, outcomeOf, yieldTexts } from './fruit-loads.ts';
import {
  fruitOutcomes,
  type LostBy,
  type Outcome,
  type OutcomeSum,
  outcomesByFruitLot,
  sumOutcomes,
} from './fruit-outcome.ts';
import { middleOf } from './median.ts';
import { counted } from './names.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetRow } from './sheet.ts';
import { stageWord } from './stages.ts';

export interface VintagePage {
  readonly path: string;
  readonly title: string;
  readonly year: number;
  readonly loads: readonly Load[];
  /** Of its fruit and of what was found or bought of it. */
  readonly all: OutcomeSum;
  /** Of its fruit alone. */
  readonly fruit: OutcomeSum;
}

/** Every vintage the journal knows wine or fruit of, the newest first. */
export function vintagePages({ book, links }: ReportContext): VintagePage[] {
  const years = new Set(book.origins.flatMap(({ vintage }) => (vintage === undefined ? [] : [vintage])));
  const outcomes = new Map<number, Outcome[]>();
  for (const outcome of fruitOutcomes(book)) {
    const year = book.origins[outcome.source.origin ?? -1]?.vintage;
    if (year === undefined) continue;
    const already = outcomes.get(year);
    if (already === undefined) outcomes.set(year, [outcome]);
    else already.push(outcome);
  }
  const loads = new Map(loadsByVintage(book).map((one) => [one.vintage, one.loads]));
  return [...years]
    .sort((a, b) => b - a)
    .map((year) => ({
      path: links.vintage(year).href ?? '',
      title: `The vintage ${year}`,
      year,
      loads: loads.get(year) ?? [],
      all: sumOutcomes(outcomes.get(year) ?? []),
      fruit: outcomeOf(book, loads.get(year) ?? []),
    }));
}

export interface VintagesModel {
  readonly path: string;
  readonly lead: string;
  readonly sheet: Sheet | undefined;
  readonly account: Sheet | undefined;
  readonly untold: string;
}

/** Vintages whose accounts stand side by side; each has its own on its page. */
const SIDE_BY_SIDE = 6;

const ABOUT = { must: 'method.html#must-yield', wine: 'method.html#wine-yield', shares: 'method.html#shares' } as const;

/** Volumes told apart by what they were made of are no whole microlitres. */
const volume = (context: ReportContext, of: Microlitres): string =>
  Math.abs(of) < 500 ? '' : volumeText(Math.round(of), context.settings).replace('-', '−');

const netOf = (loads: readonly Load[]): number => loads.reduce((sum, { event }) => sum + event.net, 0);

const lostOf = ({ lost }: OutcomeSum): Microlitres => Object.values(lost).reduce((sum, part) => sum + part, 0);

export function vintagesModel(context: ReportContext, pages: readonly VintagePage[]): VintagesModel {
  const { book } = context;
  const untold = sumOutcomes(
    fruitOutcomes(book).filter(
      ({ source }) => source.kind !== 'liquid' && book.origins[source.origin ?? -1]?.vintage === undefined,
    ),
  );
  return {
    path: 'vintages.html',
    lead: pages.length === 0 ? '' : `${counted(pages.length, 'vintage')} in the record.`,
    sheet: pages.length === 0 ? undefined : comparison(context, pages),
    account: pages.length < 2 ? undefined : sideBySide(context, pages.slice(0, SIDE_BY_SIDE)),
    untold: volume(context, untold.inVessels + untold.inBottles),
  };
}

function comparison(context: ReportContext, pages: readonly VintagePage[]): Sheet {
  const row = (page: VintagePage): SheetRow => {
    const { path, year, loads, all, fruit } = page;
    const gave = yieldTexts(fruit, context.settings);
    const days = fermentDays(context, page);
    const at = (id: string): string => `${path}#${id}`;
    return {
      id: `v${year}`,
      cells: [
        cell(String(year), path),
        cell(loads.length === 0 ? '' : massText(netOf(loads), context.settings), at('fruit')),
        pickCell(context, loads[0]),
        pickCell(context, loads.at(-1)),
        cell(volume(context, all.made), at('account')),
        cell(gave.must, ABOUT.must),
        cell(gave.wine, ABOUT.wine),
        cell(days === undefined ? '' : counted(days, 'day'), at('fruit')),
        cell(volume(context, all.bottled), at('account')),
        cell(volume(context, lostOf(all)), at('account')),
        cell(volume(context, all.inVessels), at('account')),
        cell(volume(context, all.inBottles), at('account')),
      ],
    };
  };
  return {
    label: 'Vintages',
    caption: 'The vintages side by side. A blend counts to each of its vintages by what it is made of',
    columns: [
      { name: 'Vintage' },
      { name: 'Fruit', kind: 'number' },
      { name: 'First', kind: 'nowrap' },
      { name: 'Last load', kind: 'nowrap' },
      { name: 'Must', kind: 'number' },
      { name: 'Must yield', kind: 'number' },
      { name: 'Wine yield', kind: 'number' },
      { name: 'Median ferment', kind: 'number' },
      { name: 'Bottled', kind: 'number' },
      { name: 'Lost', kind: 'number' },
      { name: 'Now in vessels', kind: 'number' },
      { name: 'Now in bottle', kind: 'number' },
    ],
    rows: pages.map(row),
    sort: true,
  };
}

function pickCell(context: ReportContext, load: Load | undefined): SheetCell {
  if (load === undefined) return { figures: [] };
  const day = dayOf(load.event.minute);
  return { figures: [figureAt(context, shortDayText(day), load.event.place)], iso: isoDay(day) };
}

/** The median of how long the vintage's own musts fermented, in days. */
function fermentDays(context: ReportContext, { loads }: VintagePage): number | undefined {
  const days = lotsOf(context, loads)
    .flatMap((lot) => {
      const span = spanOf(lot);
      return span === undefined ? [] : [dayOf(span.until) - dayOf(span.from)];
    })
    .sort((a, b) => a - b);
  return days.length === 0 ? undefined : Math.round(middleOf(days));
}

function lotsOf({ book }: ReportContext, loads: readonly Load[]): LotRecord[] {
  return [...new Set(loads.map(({ event }) => event.lot))].flatMap((id) => book.lots[id] ?? []);
}

/** What is lost, in the order the account tells it. */
const LOSSES: readonly (readonly [kind: LostBy, name: string])[] = [
  ['pomace', 'left with the pomace'],
  ['lees', 'left with the lees'],
  ['evaporation', 'evaporated'],
  ['handling', 'lost in handling'],
  ['spill', 'spilled'],
  ['leak', 'leaked'],
  ['breakage', 'lost by breakage'],
  ['spoilage', 'spoiled'],
  ['cleaning', 'lost in cleaning'],
  ['theft', 'stolen'],
  ['other', 'lost otherwise'],
  ['unexplained', 'missing at dips and counts'],
];

interface AccountRow {
  readonly name: string;
  readonly of: (sum: OutcomeSum) => Microlitres;
}

/** What came is above zero, what went below; the rows before the last two come to those. */
const ACCOUNT: readonly AccountRow[] = [
  { name: 'must made from fruit', of: ({ made }) => made },
  { name: 'found or bought in', of: ({ entered }) => entered },
  { name: 'gained at dips and counts', of: ({ gains }) => gains },
  { name: 'must settled', of: ({ settled }) => settled },
  ...LOSSES.map(([kind, name]): AccountRow => ({ name, of: ({ lost }) => -(lost[kind] ?? 0) })),
  { name: 'drawn as samples', of: ({ samples }) => -samples },
  { name: 'dispatched', of: ({ dispatched }) => -dispatched },
];

const NOW: readonly AccountRow[] = [
  { name: 'now in vessels', of: ({ inVessels }) => inVessels },
  { name: 'now in bottle', of: ({ inBottles }) => inBottles },
];

const signed = (context: ReportContext, of: Microlitres): string => {
  const text = volume(context, of);
  return of > 0 && text !== '' ? `+${text}` : text;
};

function sideBySide(context: ReportContext, pages: readonly VintagePage[]): Sheet {
  const rows = [...ACCOUNT, ...NOW].flatMap((row): SheetRow[] => {
    const values = pages.map(({ all }) => row.of(all));
    if (values.every((value) => volume(context, value) === '')) return [];
    return [
      {
        cells: [
          cell(row.name),
          ...values.map((value) => cell(NOW.includes(row) ? volume(context, value) : signed(context, value))),
        ],
      },
    ];
  });
  return {
    label: 'Accounts of the vintages',
    caption: 'What came and what became of it',
    columns: [{ name: 'What' }, ...pages.map(({ year }) => ({ name: String(year), kind: 'number' as const }))],
    rows,
    sort: false,
  };
}

export interface VintageModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  readonly facts: readonly Fact[];
  readonly fruit: Figure | undefined;
  readonly lots: Sheet | undefined;
  readonly account: Sheet;
  readonly now: Sheet | undefined;
  readonly before: Figure | undefined;
  readonly after: Figure | undefined;
}

export function vintageModel(
  context: ReportContext,
  pages: readonly VintagePage[],
  page: VintagePage,
  fruit: Figure | undefined,
): VintageModel {
  const { year, loads, all } = page;
  const at = pages.indexOf(page);
  const beside = (other: VintagePage | undefined): Figure | undefined =>
    other === undefined ? undefined : { text: String(other.year), href: other.path };
  const whole = all.made + all.entered;
  const row = ({ name, of }: AccountRow): SheetRow[] => {
    const value = of(all);
    const text = signed(context, value);
    return text === '' ? [] : [{ cells: [cell(name), cell(text), cell(shareText(Math.abs(value), whole))] }];
  };
  return {
    path: page.path,
    title: page.title,
    lead: leadOf(context, page),
    facts: factsOf(context, page),
    fruit,
    lots: loads.length === 0 ? undefined : lotSheet(context, loads),
    account: {
      label: `Account of ${year}`,
      caption: 'What came and what became of it; shares are of all that came, rounded down',
      columns: [{ name: 'What' }, { name: 'Volume', kind: 'number' }, { name: 'Share', kind: 'number' }],
      rows: [...ACCOUNT.flatMap(row), ...NOW.slice(0, 1).flatMap(held(context, all, whole))],
      foot: held(context, all, whole)(NOW[1] ?? { name: '', of: () => 0 })[0] ?? { cells: [] },
      sort: false,
    },
    now: nowSheet(context, year),
    before: beside(pages[at + 1]),
    after: beside(pages[at - 1]),
  };
}

const held =
  (context: ReportContext, all: OutcomeSum, whole: Microlitres) =>
  ({ name, of }: AccountRow): SheetRow[] => [
    { cells: [cell(name), cell(volume(context, of(all)) || 'nothing'), cell(shareText(of(all), whole))] },
  ];

function leadOf(context: ReportContext, { loads, all }: VintagePage): string {
  const parts = [
    loads.length === 0
      ? ''
      : `${massText(netOf(loads), context.settings)} of fruit in ${counted(loads.length, 'load')}`,
    all.bottled < 500 ? '' : `${volume(context, all.bottled)} bottled`,
    all.inVessels < 500 ? '' : `${volume(context, all.inVessels)} in vessels`,
  ].filter((part) => part !== '');
  return parts.length === 0 ? 'Nothing of it is left in the record.' : `${parts.join(', ')}.`;
}

function factsOf(context: ReportContext, page: VintagePage): Fact[] {
  const { loads, all, fruit } = page;
  const facts: Fact[] = [];
  const add = (name: string, ...list: Figure[]): void => {
    if (list.some(({ text }) => text !== '')) facts.push({ name, figures: list });
  };
  const [first, last] = [loads[0], loads.at(-1)];
  const on = ({ event }: Load): Figure => figureAt(context, dayText(dayOf(event.minute)), event.place);
  if (first !== undefined) add('first load', on(first));
  if (last !== undefined) add('last load', on(last));
  const gave = yieldTexts(fruit, context.settings);
  add('must yield', { text: gave.must, href: ABOUT.must });
  add('wine yield', { text: gave.wine, href: ABOUT.wine });
  const ran = all.free + all.press;
  if (ran > 0) add('of it press run', { text: shareText(all.press, ran), href: '#fruit' });
  const days = fermentDays(context, page);
  if (days !== undefined) add('median ferment', { text: counted(days, 'day'), href: '#fruit' });
  add('bottled', { text: volume(context, all.bottled), href: '#now' });
  add('lost in all', { text: volume(context, lostOf(all)), href: '#account' });
  return facts;
}

function lotSheet(context: ReportContext, loads: readonly Load[]): Sheet {
  const { settings, book, links } = context;
  const outcomes = outcomesByFruitLot(book);
  const rows = lotsOf(context, loads).map((lot): SheetRow => {
    const id = lot.facts.id;
    const own = loads.filter(({ event }) => event.lot === id);
    const sum = sumOutcomes(outcomes.get(id) ?? []);
    const gave = yieldTexts(sum, settings);
    const span = spanOf(lot);
    const at = (happening: number) => book.happenings[happening]?.event.place;
    const during: readonly Figure[] =
      span === undefined
        ? []
        : [
            figureAt(context, shortDayText(dayOf(span.from)), at(span.began)),
            figureAt(context, shortDayText(dayOf(span.until)), at(span.ended)),
          ];
    return {
      cells: [
        figures([links.lot(id)]),
        cell([...new Set(own.map(({ origin }) => origin?.block ?? 'not told'))].join(', ')),
        cell(massText(netOf(own), settings)),
        figures(firstReadings(context, id)),
        span === undefined
          ? EMPTY
          : { figures: [{ text: counted(dayOf(span.until) - dayOf(span.from), 'day') }, ...during] },
        figures(warmestOf(context, lot)),
        cell(volume(context, sum.made)),
        cell(volume(context, sum.free + sum.press)),
        cell(gave.wine, ABOUT.wine),
      ],
    };
  });
  return {
    label: 'Lots of fruit',
    caption: 'The fruit by lot: what was read of it first, how long it fermented, and what it gave',
    columns: [
      { name: 'Lot' },
      { name: 'Blocks', kind: 'words' },
      { name: 'Fruit', kind: 'number' },
      { name: 'First readings', kind: 'words' },
      { name: 'Ferment', kind: 'nowrap' },
      { name: 'Warmest', kind: 'number' },
      { name: 'Must', kind: 'number' },
      { name: 'Off its skins', kind: 'number' },
      { name: 'Wine yield', kind: 'number' },
    ],
    rows,
    sort: true,
  };
}

function warmestOf(context: ReportContext, lot: LotRecord): Figure[] {
  const until = spanOf(lot)?.until ?? Number.POSITIVE_INFINITY;
  let warmest: { readonly value: number; readonly figure: Figure } | undefined;
  for (const index of lot.happenings) {
    const event = context.book.happenings[index]?.event;
    if (event?.kind !== 'reading') continue;
    if (event.minute > until) break;
    for (const measure of event.measures) {
      if (measure.analyte !== 'temp' || (warmest !== undefined && measure.value <= warmest.value)) continue;
      const words = namedMeasureText(measure, context.settings).replace(/^temp /u, '');
      warmest = { value: measure.value, figure: figureAt(context, words, event.place) };
    }
  }
  return warmest === undefined ? [] : [warmest.figure];
}

/** Lots and bottlings on hand that are mostly of a vintage; a list longer than this is cut. */
const MOST_LOTS = 150;

function nowSheet(context: ReportContext, year: number): Sheet | undefined {
  const { book, settings, links } = context;
  const own = book.lots.flatMap(({ facts: { id } }) => {
    const lot = lotOf(context, id);
    if (lot === undefined || (lot.onHand === 0 && lot.bottlesFilled.length === 0)) return [];
    const whole = lot.composition.reduce((sum, part) => sum + part.volume, 0);
    const part = lot.composition.reduce(
      (sum, { origin, volume: of }) => sum + (book.origins[origin]?.vintage === year ? of : 0),
      0,
    );
    return whole > 0 && part > 0 ? [{ lot, share: shareText(part, whole) }] : [];
  });
  if (own.length === 0) return undefined;
  const shown = own.slice(0, MOST_LOTS);
  return {
    label: `Wines of ${year}`,
    caption:
      shown.length === own.length
        ? 'Lots on hand and bottlings with wine of this vintage, and how much of them it is'
        : `The first ${shown.length} of ${own.length} lots on hand and bottlings with wine of this vintage`,
    columns: [
      { name: 'Lot' },
      { name: 'Stage', kind: 'nowrap' },
      { name: 'Of this vintage', kind: 'number' },
      { name: 'On hand', kind: 'words' },
      { name: 'Filled', kind: 'words' },
    ],
    rows: shown.map(({ lot, share }) => ({
      cells: [
        figures([links.lot(lot.facts.id)]),
        cell(stageWord(lot.stage)),
        cell(share),
        cell(lot.facts.bottling ? bottlesText(lot.bottles) : volumeText(lot.onHand, settings, lot.estimated)),
        cell(lot.facts.bottling ? bottlesText(lot.bottlesFilled) : ''),
      ],
    })),
    sort: true,
  };
}
