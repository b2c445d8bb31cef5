/** Materials received and used, a page a year: purchases, every use with its wine and its acid before and after, and the balance. */
import { correctsAcid } from '../law/acid-correction.ts';
import { type AcidReading, acidAround } from './acid-readings.ts';
import type { ReportContext } from './context.ts';
import { type Figure, figureAt } from './context.ts';
import { dayOf, dayText, isoDay } from './dates.ts';
import { analyteUnit, measureText, volumeText, withUnit } from './figures.ts';
import { batchLink, storeText } from './materials.ts';
import { counted } from './names.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetSection } from './sheet.ts';
import { type StoreYear, storeYears, type YearBalance } from './store-years.ts';

export interface StorePage {
  readonly path: string;
  readonly title: string;
  readonly year: StoreYear;
}

/** A page a year, the newest first; that one is where the menu leads. */
export const storePages = ({ book }: ReportContext): StorePage[] =>
  storeYears(book)
    .toReversed()
    .map((year, i) => ({
      path: i === 0 ? 'stores.html' : `stores/${year.year}.html`,
      title: `Materials received and used in ${year.year}`,
      year,
    }));

export interface StoreModel {
  readonly title: string;
  readonly lead: string;
  readonly years: readonly (Figure & { readonly here: boolean })[];
  readonly sections: readonly SheetSection[];
}

/** Rows of a table; the page of each material has more of its own. */
const MOST_RECEIVED = 120;
const MOST_USED = 300;

/** `page`: undefined where nothing was ever received or used. */
export function storeModel(
  context: ReportContext,
  pages: readonly StorePage[],
  page: StorePage | undefined,
): StoreModel {
  if (page === undefined) return { title: 'Materials received and used', lead: '', years: [], sections: [] };
  const { received, used, balances } = page.year;
  return {
    title: page.title,
    lead: `${counted(received.length, 'purchase')}, ${counted(used.length, 'use')}.`,
    years: pages.map(({ path, year }) => ({ text: String(year.year), href: path, here: path === page.path })),
    sections: [
      ...(received.length === 0 ? [] : [{ id: 'received', title: 'Received', sheet: receivedSheet(context, page) }]),
      ...(used.length === 0 ? [] : [{ id: 'used', title: 'Used', sheet: usedSheet(context, page) }]),
      ...(balances.length === 0
        ? []
        : [{ id: 'balance', title: 'At the end of the year', sheet: balanceSheet(context, page) }]),
    ],
  };
}

const cut = (shown: number, all: number): string =>
  shown === all
    ? 'By day, the oldest first'
    : `The last ${shown} of ${all}; the page of each material has more of its own`;

const dayCell = (context: ReportContext, minute: number, place: { file: number; line: number }): SheetCell => ({
  figures: [figureAt(context, dayText(dayOf(minute)), place)],
  iso: isoDay(dayOf(minute)),
});

const dayOnly = (day: number): SheetCell => ({ figures: [{ text: dayText(day) }], iso: isoDay(day) });

function receivedSheet(context: ReportContext, { year: { received } }: StorePage): Sheet {
  const { book, links } = context;
  const shown = received.slice(-MOST_RECEIVED);
  return {
    label: 'Received',
    caption: cut(shown.length, received.length),
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'Material' },
      { name: 'What it is', kind: 'words' },
      { name: 'Amount', kind: 'number' },
      { name: 'From', kind: 'words' },
      { name: 'Batch' },
      { name: 'Keeps until', kind: 'nowrap' },
    ],
    rows: shown.map(({ material, bought }) => {
      const facts = book.materials[material];
      return {
        cells: [
          dayCell(context, bought.minute, bought.place),
          figures([links.material(material)]),
          cell(facts?.substance ?? facts?.kind ?? ''),
          cell(bought.amount === undefined ? bought.said : storeText(bought.amount)),
          cell(bought.supplier ?? 'not told'),
          bought.batch === undefined ? cell('not told') : figures([batchLink(context, material, bought.batch)]),
          bought.keeps === undefined ? EMPTY : dayOnly(bought.keeps),
        ],
      };
    }),
    sort: true,
  };
}

function usedSheet(context: ReportContext, { year: { used } }: StorePage): Sheet {
  const { book, links, settings } = context;
  const shown = used.slice(-MOST_USED);
  return {
    label: 'Used',
    caption: `${cut(shown.length, used.length)}; acid as it was read last before and first after, where acid was corrected`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'Material' },
      { name: 'Amount', kind: 'number' },
      { name: 'Batch' },
      { name: 'Into', kind: 'words' },
      { name: 'Volume', kind: 'number' },
      { name: 'Acid before', kind: 'number' },
      { name: 'Acid after', kind: 'number' },
      { name: 'By' },
    ],
    rows: shown.map(({ material, used: { happening, amount, lots, into, batch } }) => {
      const { event, sentence } = happening;
      const facts = book.materials[material];
      const around =
        facts !== undefined && correctsAcid(facts) && lots.length > 0
          ? acidAround(
              book,
              lots.map(({ lot }) => lot),
              event.minute,
            )
          : undefined;
      return {
        cells: [
          dayCell(context, event.minute, event.place),
          figures([links.material(material)]),
          cell(amount === undefined ? 'not told' : storeText(amount)),
          batch === undefined ? EMPTY : figures([batchLink(context, material, batch)]),
          lots.length === 0 ? cell(sentence) : figures(lots.map(({ lot }) => links.lot(lot))),
          cell(into > 0 ? volumeText(into, settings) : lots.length > 0 ? 'on the fruit' : ''),
          around === undefined ? EMPTY : acidCell(context, around.before),
          around === undefined ? EMPTY : acidCell(context, around.after),
          cell(event.hands.join(', ')),
        ],
      };
    }),
    sort: true,
  };
}

function acidCell(context: ReportContext, reading: AcidReading | undefined): SheetCell {
  if (reading === undefined) return cell('not read');
  const { measure, place, minute } = reading;
  const text = withUnit(measureText(measure, context.settings), analyteUnit(measure.analyte, context.settings));
  return figures([figureAt(context, text, place)], dayText(dayOf(minute)));
}

function balanceSheet(context: ReportContext, { year: { balances } }: StorePage): Sheet {
  const { links } = context;
  const row = ({ material, unit, start, received, used, difference, end, counted: last }: YearBalance) => {
    const some = (amount: number): SheetCell => (amount === 0 ? EMPTY : cell(storeText({ unit, amount })));
    return {
      cells: [
        figures([links.material(material)]),
        some(start),
        some(received),
        some(used),
        difference === 0 ? EMPTY : cell(`${difference > 0 ? '+' : ''}${storeText({ unit, amount: difference })}`),
        cell(storeText({ unit, amount: end })),
        last === undefined ? cell('not counted') : dayCell(context, last.minute, last.place),
      ],
    };
  };
  return {
    label: 'At the end of the year',
    caption:
      'What was there, came, was used and was found to differ when it was counted; before the first count nobody knows what stood there already',
    columns: [
      { name: 'Material' },
      { name: 'At the start', kind: 'number' },
      { name: 'Received', kind: 'number' },
      { name: 'Used', kind: 'number' },
      { name: 'Differed when counted', kind: 'number' },
      { name: 'At the end', kind: 'number' },
      { name: 'Counted last', kind: 'nowrap' },
    ],
    rows: balances.map(row),
    sort: true,
  };
}
