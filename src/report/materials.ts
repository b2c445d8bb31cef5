/** The materials: what came into the store, what was used of it, what should be there, and which wines had which batch. */

import type { MaterialId, StoreAmount } from '../journal/events.ts';
import type { Brings, MaterialFacts } from '../journal/register.ts';
import { type Batch, batchesOf, type Certainty } from './batch-trace.ts';
import { CAUTIONS, type Caution } from './cautions.ts';
import { type Fact, type Figure, figureAt, type ReportContext } from './context.ts';
import { dayOf, dayText, isoDay, timeText } from './dates.ts';
import { bottlesText, doseText, volumeText, withUnit } from './figures.ts';
import { Known } from './known.ts';
import { capital, counted, nameList } from './names.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetRow } from './sheet.ts';
import { slugs } from './slugs.ts';
import { type Bought, type MaterialRecord, type OnHand, storeOf, type Used } from './store.ts';

export interface MaterialsModel {
  readonly path: string;
  readonly lead: string;
  readonly sheet: Sheet | undefined;
  readonly batches: Sheet | undefined;
  readonly cautions: readonly Caution[];
}

/** An amount as the store tells it: `4.05 kg`, `350 mL`, `12 pieces`. */
export function storeText({ unit, amount }: StoreAmount): string {
  const sign = amount < 0 ? '−' : '';
  const much = Math.abs(amount);
  if (unit === 'µg') return sign + doseText(much);
  if (unit === 'pieces') return `${sign}${plain(much, 2)} ${much === 1 ? 'piece' : 'pieces'}`;
  return sign + (much < 1_000_000 ? withUnit(plain(much / 1000, 1), 'mL') : withUnit(plain(much / 1_000_000, 3), 'L'));
}

/** A figure without the zeros behind its point. */
function plain(value: number, places: number): string {
  return value
    .toFixed(places)
    .replace(/\.0+$/u, '')
    .replace(/(\.\d*?)0+$/u, '$1');
}

/** `57.6 % SO2`, `50 g/L SO2`, `5 g SO2 each`. */
export function bringsText(brings: readonly Brings[]): string {
  return brings
    .map(({ analyte, per, amount }) => {
      if (per === 'mass') return `${withUnit(plain(amount / 10_000, 1), '%')} ${analyte}`;
      if (per === 'volume') return `${withUnit(plain(amount / 1_000_000_000, 2), 'g/L')} ${analyte}`;
      return `${withUnit(plain(amount / 1_000_000, 3), 'g')} ${analyte} each`;
    })
    .join(', ');
}

/** Materials that have a page. */
export function shownMaterials({ book, links }: ReportContext): MaterialFacts[] {
  return book.materials.filter(({ id }) => links.material(id).href !== undefined);
}

const whatIs = ({ kind, substance }: MaterialFacts): string =>
  substance === undefined ? kind : `${kind}: ${substance}`;

const sumOf = (amounts: readonly (StoreAmount | undefined)[]): string => {
  const sums = new Map<StoreAmount['unit'], number>();
  for (const one of amounts) if (one !== undefined) sums.set(one.unit, (sums.get(one.unit) ?? 0) + one.amount);
  return [...sums].map(([unit, amount]) => storeText({ unit, amount })).join(', ');
};

/** What should be there, or why nobody can say. */
function onHandText(onHand: readonly OnHand[]): string {
  return onHand
    .map(({ unit, amount, counted: known }) =>
      amount < 0
        ? `${storeText({ unit, amount: -amount })} more used than ${known ? 'there' : 'bought'}`
        : storeText({ unit, amount }),
    )
    .join(', ');
}

/** Batches listed on the first page; each material's page has its own. */
const MOST_BATCHES = 150;

export function materialsModel(context: ReportContext): MaterialsModel {
  const { book, links } = context;
  const store = storeOf(book);
  const shown = shownMaterials(context);
  const row = (facts: MaterialFacts): SheetRow => {
    const record = store.get(facts.id);
    const page = links.material(facts.id).href ?? '';
    const last = record?.counted.at(-1);
    const used = record?.used ?? [];
    return {
      cells: [
        figures([links.material(facts.id)]),
        cell(whatIs(facts)),
        cell(bringsText(facts.brings)),
        cell(facts.allergen ?? ''),
        cell(sumOf(record?.bought.map(({ amount }) => amount) ?? []), `${page}#store`),
        cell(sumOf(used.map(({ amount }) => amount)), `${page}#used`),
        cell(onHandText(record?.onHand ?? []), `${page}#store`),
        last === undefined
          ? EMPTY
          : {
              figures: [figureAt(context, dayText(dayOf(last.minute)), last.place)],
              iso: isoDay(dayOf(last.minute)),
            },
      ],
    };
  };
  const batches = batchesOf(book);
  const kinds = new Set(shown.map(({ kind }) => kind));
  return {
    path: 'materials.html',
    lead:
      shown.length === 0
        ? ''
        : `${capital(counted(shown.length, 'material'))}, ${counted(batches.length, 'batch', 'batches')}.`,
    sheet:
      shown.length === 0
        ? undefined
        : {
            label: 'Materials',
            caption: 'Bought, used, and what should be there: counted last, and bought since, less what was used since',
            columns: [
              { name: 'Material' },
              { name: 'What it is', kind: 'words' },
              { name: 'Brings' },
              { name: 'Allergen' },
              { name: 'Bought', kind: 'number' },
              { name: 'Used', kind: 'number' },
              { name: 'Should be there', kind: 'number' },
              { name: 'Counted', kind: 'nowrap' },
            ],
            rows: shown.map(row),
            sort: true,
          },
    batches: batches.length === 0 ? undefined : batchSheet(context, batches.slice(-MOST_BATCHES), batches.length),
    cautions: [
      ...(kinds.has('sulfite') ? [CAUTIONS['sulfur dioxide']] : []),
      ...(kinds.has('cleaner') || kinds.has('acid') ? [CAUTIONS['cleaning and acids']] : []),
    ],
  };
}

export interface BatchPage {
  readonly batch: Batch;
  readonly path: string;
  readonly title: string;
}

const PAGES = new Known<ReportContext, readonly BatchPage[]>(batchPages);

/** Where the page of each batch is. */
export function batchPages(context: ReportContext): readonly BatchPage[] {
  const known = PAGES.get(context);
  if (known !== undefined) return known;
  const { book, links } = context;
  const batches = batchesOf(book);
  const paths = slugs(batches.map(({ material, code }) => `${links.material(material).text} ${code}`));
  const pages = batches.map((batch, index) => ({
    batch,
    path: `batches/${paths[index] ?? ''}.html`,
    title: `Batch ${batch.code} of ${links.material(batch.material).text}`,
  }));
  PAGES.set(context, pages);
  return pages;
}

/** A batch as a line names it, led to its page. */
export function batchLink(context: ReportContext, material: MaterialId, code: string): Figure {
  const page = batchPages(context).find(({ batch }) => batch.material === material && batch.code === code);
  return page === undefined ? { text: code } : { text: code, href: page.path };
}

const winesText = ({ wines }: Batch): string => {
  const sure = wines.filter(({ certainty }) => certainty !== 'maybe').length;
  const maybe = wines.length - sure;
  return [sure === 0 ? '' : counted(sure, 'lot'), maybe === 0 ? '' : `${maybe} maybe`]
    .filter((text) => text !== '')
    .join(', ');
};

function batchSheet(context: ReportContext, batches: readonly Batch[], all: number, own = false): Sheet {
  const { book, links } = context;
  const store = storeOf(book);
  const paths = new Map(batchPages(context).map(({ batch, path }) => [batch, path]));
  const row = (batch: Batch): SheetRow => {
    const path = paths.get(batch) ?? '';
    const bought = (store.get(batch.material)?.bought ?? []).filter((one) => one.batch === batch.code);
    const keeps = bought.flatMap((one) => one.keeps ?? []).at(-1);
    return {
      cells: [
        cell(batch.code, path),
        ...(own ? [] : [figures([links.material(batch.material)])]),
        {
          figures: bought.map((one) => figureAt(context, dayText(dayOf(one.minute)), one.place)),
          ...(bought[0] === undefined ? {} : { iso: isoDay(dayOf(bought[0].minute)) }),
        },
        cell(bought.map(({ said }) => said).join(', ')),
        cell([...new Set(bought.flatMap(({ supplier }) => supplier ?? []))].join(', ')),
        keeps === undefined
          ? EMPTY
          : { figures: [{ text: dayText(keeps) }], iso: isoDay(keeps), ...(keeps < book.on ? { quiet: 'over' } : {}) },
        cell(winesText(batch), `${path}#wines`),
      ],
    };
  };
  return {
    label: 'Batches',
    caption:
      batches.length === all
        ? 'Batches, and how many lots had them; a batch leads to its wines'
        : `The last ${batches.length} of ${all} batches; each material’s page has all of its own`,
    columns: [
      { name: 'Batch' },
      ...(own ? [] : [{ name: 'Material' }]),
      { name: 'Bought', kind: 'nowrap' },
      { name: 'Amount', kind: 'number' },
      { name: 'From' },
      { name: 'Keeps until', kind: 'nowrap' },
      { name: 'In' },
    ],
    rows: batches.map(row),
    sort: true,
  };
}

export interface MaterialModel {
  readonly path: string;
  readonly name: string;
  readonly lead: string;
  readonly facts: readonly Fact[];
  readonly cautions: readonly Caution[];
  readonly store: Sheet | undefined;
  readonly batches: Sheet | undefined;
  readonly byLot: Sheet | undefined;
  readonly uses: Sheet | undefined;
}

/** Rows of a material's uses; earlier ones are told by the lots they went into. */
const MOST_USES = 200;
const MOST_LOTS = 200;
const MOST_STORE_ROWS = 150;

export function materialModel(context: ReportContext, facts: MaterialFacts): MaterialModel {
  const { book, links } = context;
  const record = storeOf(book).get(facts.id);
  const batches = batchesOf(book).filter(({ material }) => material === facts.id);
  return {
    path: links.material(facts.id).href ?? '',
    name: facts.name,
    lead: `${capital(whatIs(facts))}.`,
    facts: factsOf(context, facts, record),
    cautions: cautionsOf(facts),
    store: record === undefined ? undefined : storeSheet(context, record),
    batches: batches.length === 0 ? undefined : batchSheet(context, batches, batches.length, true),
    byLot: record === undefined ? undefined : lotSheet(context, record.used),
    uses: record === undefined || record.used.length === 0 ? undefined : useSheet(context, facts.id, record.used),
  };
}

function cautionsOf({ kind, name, caution }: MaterialFacts): Caution[] {
  const own = caution === undefined ? [] : [{ title: name, text: caution }];
  if (kind === 'sulfite') return [...own, CAUTIONS['sulfur dioxide']];
  return own.length === 0 && (kind === 'cleaner' || kind === 'acid') ? [CAUTIONS['cleaning and acids']] : own;
}

function factsOf(context: ReportContext, facts: MaterialFacts, record: MaterialRecord | undefined): Fact[] {
  const told: Fact[] = [];
  const add = (name: string, ...list: Figure[]): void => {
    if (list.some(({ text }) => text !== '')) told.push({ name, figures: list });
  };
  if (facts.place !== undefined) add('declared', figureAt(context, context.links.line(facts.place).text, facts.place));
  add('brings', { text: bringsText(facts.brings), href: 'method.html#additions' });
  add('allergen', { text: facts.allergen ?? '' });
  if (record === undefined) return told;
  add('bought', { text: sumOf(record.bought.map(({ amount }) => amount)), href: '#store' });
  add('used', { text: sumOf(record.used.map(({ amount }) => amount)), href: '#used' });
  add('should be there', { text: onHandText(record.onHand), href: '#store' });
  for (const { event } of record.prepared) add('made', figureAt(context, dayText(dayOf(event.minute)), event.place));
  return told;
}

function dayCell(minute: number): SheetCell {
  return { figures: [{ text: dayText(dayOf(minute)) }], iso: isoDay(dayOf(minute)), quiet: timeText(minute) };
}

/** Purchases and counts in the order of time; a count says by how much the store differed. */
function storeSheet(context: ReportContext, { bought, counted: counts }: MaterialRecord): Sheet | undefined {
  const { links } = context;
  const came = bought.map((one) => ({
    minute: one.minute,
    row: {
      cells: [
        dayCell(one.minute),
        cell('bought'),
        cell(one.said),
        cell(boughtText(one)),
        figures([links.line(one.place)]),
      ],
    },
  }));
  const seen = counts.map((one) => ({
    minute: one.minute,
    row: {
      cells: [
        dayCell(one.minute),
        cell('counted'),
        cell(one.said),
        cell(differenceText(one.amount, one.difference)),
        figures([links.line(one.place)]),
      ],
    },
  }));
  const all = [...came, ...seen].sort((a, b) => a.minute - b.minute);
  if (all.length === 0) return undefined;
  const shown = all.slice(-MOST_STORE_ROWS);
  return {
    label: 'In the store',
    caption:
      shown.length === all.length
        ? 'Bought and counted'
        : `Bought and counted: the last ${shown.length} of ${all.length} lines`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'What' },
      { name: 'Amount', kind: 'number' },
      { name: 'From, batch; what a count found', kind: 'words' },
      { name: 'Line', kind: 'line' },
    ],
    rows: shown.map(({ row }) => row),
    sort: true,
  };
}

function boughtText({ supplier, batch, keeps }: Bought): string {
  return [
    supplier === undefined ? '' : `from ${supplier}`,
    batch === undefined ? '' : `batch ${batch}`,
    keeps === undefined ? '' : `keeps until ${dayText(keeps)}`,
  ]
    .filter((text) => text !== '')
    .join(', ');
}

function differenceText(amount: StoreAmount | undefined, difference: number | undefined): string {
  if (amount === undefined) return '';
  if (difference === undefined) return 'the first that is known of it';
  if (difference === 0) return 'as it should be';
  const much = storeText({ unit: amount.unit, amount: Math.abs(difference) });
  const expected = storeText({ unit: amount.unit, amount: amount.amount - difference });
  return `${much} ${difference < 0 ? 'less' : 'more'} than the ${expected} that should be there`;
}

function lotSheet(context: ReportContext, used: readonly Used[]): Sheet | undefined {
  const { book, links } = context;
  const lots = new Map<number, { amounts: StoreAmount[]; lines: number; last: Used }>();
  for (const use of used) {
    for (const { lot, amount } of use.lots) {
      const before = lots.get(lot);
      if (before === undefined) lots.set(lot, { amounts: [amount], lines: 1, last: use });
      else {
        before.amounts.push(amount);
        before.lines += 1;
        before.last = use;
      }
    }
  }
  if (lots.size === 0) return undefined;
  const all = [...lots].reverse();
  const shown = all.slice(0, MOST_LOTS);
  return {
    label: 'Used by lot',
    caption:
      shown.length === all.length
        ? 'By lot: what was added to it under its own name'
        : `By lot: the last ${shown.length} of ${all.length} lots it was added to`,
    columns: [
      { name: 'Lot' },
      { name: 'In all', kind: 'number' },
      { name: 'Lines', kind: 'number' },
      { name: 'Last', kind: 'nowrap' },
      { name: 'What the wine is now', kind: 'words' },
    ],
    rows: shown.map(([lot, { amounts, lines, last }]) => {
      const record = book.lots[lot];
      const { event } = last.happening;
      return {
        cells: [
          figures([links.lot(lot)]),
          cell(sumOf(amounts)),
          cell(String(lines)),
          {
            figures: [figureAt(context, dayText(dayOf(event.minute)), event.place)],
            iso: isoDay(dayOf(event.minute)),
          },
          cell(record === undefined ? '' : nowText(context, lot)),
        ],
      };
    }),
    sort: true,
  };
}

/** Where a lot's wine is now, in few words. */
function nowText({ book, settings, links }: ReportContext, lot: number): string {
  const record = book.lots[lot];
  if (record === undefined) return '';
  if (record.facts.bottling) return `${bottlesText(record.bottles)} on hand`;
  if (record.onHand > 0) return `${volumeText(record.onHand, settings, record.estimated)} on hand`;
  const went = record.children.map((child) => links.lot(child.lot).text);
  if (went.length === 0) return record.account.dispatched > 0 ? 'dispatched' : 'used up';
  return `went on into ${nameList(went, 5)}`;
}

function useSheet(context: ReportContext, material: MaterialId, used: readonly Used[]): Sheet {
  const { book, links } = context;
  const shown = used.slice(-MOST_USES);
  const row = ({ happening, amount, lots, into, batch }: Used): SheetRow => {
    const { event, sentence } = happening;
    const vessels = happening.vessels.map((id) => book.vessels[id]?.facts.name ?? '');
    return {
      cells: [
        dayCell(event.minute),
        cell(amount === undefined ? '' : storeText(amount)),
        lots.length === 0
          ? cell(sentence)
          : figures(
              lots.map(({ lot }) => links.lot(lot)),
              into > 0 ? `${volumeText(into, context.settings)} in ${nameList(vessels, 4)}` : 'on the fruit',
            ),
        figures(batch === undefined ? [] : [batchLink(context, material, batch)]),
        cell(event.hands.join(', ')),
        figures([links.line(event.place)]),
      ],
    };
  };
  return {
    label: 'Used by day',
    caption:
      shown.length === used.length
        ? 'By day, the oldest first'
        : `By day: the last ${shown.length} of ${used.length} lines, the oldest first`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'Amount', kind: 'number' },
      { name: 'Into', kind: 'words' },
      { name: 'Batch' },
      { name: 'By' },
      { name: 'Line', kind: 'line' },
    ],
    rows: shown.map(row),
    sort: true,
  };
}

export interface BatchModel {
  readonly path: string;
  readonly title: string;
  readonly material: Figure;
  readonly lead: string;
  readonly bought: readonly { readonly text: string; readonly line: Figure }[];
  readonly wines: Sheet | undefined;
}

const SURENESS: Readonly<Record<Certainty, string>> = {
  named: 'the line names it',
  only: 'the only batch bought by then',
  maybe: 'maybe: one of several batches, and the line names none',
};

export function batchModel(context: ReportContext, batch: Batch, path: string, title: string): BatchModel {
  const { book, links } = context;
  const bought = (storeOf(book).get(batch.material)?.bought ?? []).filter((one) => one.batch === batch.code);
  const { named, only, maybe } = batch.lines;
  const told = [
    named === 0 ? '' : `${counted(named, 'addition')} ${named === 1 ? 'names' : 'name'} it`,
    only === 0 ? '' : `${counted(only, 'addition')} when no other batch had been bought`,
    maybe === 0 ? '' : `${counted(maybe, 'addition')} of it or of another batch`,
  ].filter((text) => text !== '');
  return {
    path,
    title,
    material: links.material(batch.material),
    lead: told.length === 0 ? 'Nothing was added of it yet.' : `${told.join('; ')}.`,
    bought: bought.map((one) => ({
      text: `${dayText(dayOf(one.minute))}: ${[one.said, boughtText({ ...one, batch: undefined })].filter((text) => text !== '').join(' ')}`,
      line: links.line(one.place),
    })),
    wines:
      batch.wines.length === 0
        ? undefined
        : {
            label: 'Wines that had it',
            caption: 'Every lot it was added to, and every lot that wine went on into, topping included',
            columns: [
              { name: 'Lot' },
              { name: 'How it came there', kind: 'words' },
              { name: 'How sure', kind: 'words' },
              { name: 'Since', kind: 'nowrap' },
              { name: 'What the wine is now', kind: 'words' },
            ],
            rows: batch.wines.map(({ lot, certainty, direct, minute, place }) => ({
              cells: [
                figures([links.lot(lot)]),
                cell(direct ? 'added to it' : 'came with wine that had it'),
                cell(SURENESS[certainty]),
                { figures: [figureAt(context, dayText(dayOf(minute)), place)], iso: isoDay(dayOf(minute)) },
                cell(nowText(context, lot)),
              ],
            })),
            sort: true,
          },
  };
}
