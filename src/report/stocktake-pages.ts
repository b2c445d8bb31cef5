/** The pages of stocktakes: a list of those that were held, and each with what was found, what differs, and room to sign. */
import { formatVolume } from '../trade/volume.ts';
import { type Figure, figureAt, type ReportContext } from './context.ts';
import { dayText, fullDayText, isoDay } from './dates.ts';
import { bottleText, exactVolumeText } from './figures.ts';
import { storeText } from './materials.ts';
import { counted, nameList } from './names.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetSection } from './sheet.ts';
import { type Stocktake, stocktakesOf } from './stocktakes.ts';

export interface StocktakePage {
  readonly path: string;
  readonly title: string;
  readonly stocktake: Stocktake;
}

/** A page each, the oldest first. */
export const stocktakePages = (context: ReportContext): StocktakePage[] =>
  stocktakesOf(context).map((stocktake) => ({
    path: `stocktakes/${isoDay(stocktake.day)}.html`,
    title: `Stocktake of ${dayText(stocktake.day)}`,
    stocktake,
  }));

export interface StocktakesModel {
  readonly lead: string;
  readonly sheet: Sheet | undefined;
}

/** Stocktakes in the list; one a year is usual. */
const MOST = 200;

export function stocktakesModel(context: ReportContext, pages: readonly StocktakePage[]): StocktakesModel {
  const shown = pages.slice(-MOST).reverse();
  return {
    lead: pages.length === 0 ? '' : `${counted(pages.length, 'stocktake')} in the record.`,
    sheet:
      pages.length === 0
        ? undefined
        : {
            label: 'Stocktakes',
            caption: 'The newest first; what was found less what the book had',
            columns: [
              { name: 'Day', kind: 'nowrap' },
              { name: 'Vessels', kind: 'number' },
              { name: 'Wine in vessels', kind: 'number' },
              { name: 'Bottles', kind: 'number' },
              { name: 'Materials', kind: 'number' },
              { name: 'Not looked at', kind: 'number' },
            ],
            rows: shown.map(({ path, stocktake }) => ({
              cells: [
                { figures: [{ text: dayText(stocktake.day), href: path }], iso: isoDay(stocktake.day) },
                cell(String(stocktake.vessels.length)),
                cell(differenceText(context, sumsOf(stocktake).wine)),
                cell(signed(sumsOf(stocktake).bottles)),
                cell(String(stocktake.materials.length)),
                cell(String(stocktake.missed.vessels.length + stocktake.missed.lots.length)),
              ],
            })),
            sort: true,
          },
  };
}

export interface StocktakeModel {
  readonly title: string;
  readonly day: string;
  readonly lead: string;
  /** The month whose volumes have what differs among their gains and losses. */
  readonly month: Figure;
  readonly sections: readonly SheetSection[];
}

/** What differs in all, but for what was settled. */
function sumsOf({ vessels, bottles }: Stocktake): { wine: number; bottles: number } {
  return {
    wine: vessels.reduce((sum, { measured, computed, settled }) => sum + (settled ? 0 : measured - computed), 0),
    bottles: bottles.reduce((sum, one) => sum + one.counted - one.computed, 0),
  };
}

/** A difference without its sign gets it, unless it comes to nothing where it is rounded. */
const withSign = (text: string, difference: number): string =>
  /[1-9]/u.test(text) ? `${difference > 0 ? '+' : '−'}${text}` : text;

const signed = (number: number): string => (number > 0 ? `+${number}` : String(number).replace('-', '−'));

function differenceText({ settings }: ReportContext, volume: number): string {
  return withSign(exactVolumeText(Math.abs(volume), settings), volume);
}

export function stocktakeModel(context: ReportContext, { stocktake, title }: StocktakePage): StocktakeModel {
  const { vessels, bottles, materials } = stocktake;
  const sums = sumsOf(stocktake);
  const month = isoDay(stocktake.day).slice(0, 7);
  const told = [
    vessels.length === 0 ? '' : `${counted(vessels.length, 'vessel')}, ${differenceText(context, sums.wine)} in all`,
    bottles.length === 0
      ? ''
      : `bottles of ${counted(new Set(bottles.map(({ lot }) => lot)).size, 'bottling')}, ${signed(sums.bottles)} in all`,
    materials.length === 0 ? '' : counted(materials.length, 'material'),
  ].filter((text) => text !== '');
  return {
    title,
    day: fullDayText(stocktake.day),
    lead: `What was found on ${fullDayText(stocktake.day)}, against what the book had then: ${told.join('; ')}.`,
    month: { text: 'the volumes of that month', href: `months/${month}.html` },
    sections: [
      wineSection(context, stocktake),
      bottleSection(context, stocktake),
      materialSection(context, stocktake),
      missedSection(stocktake),
    ].filter((section) => section !== undefined),
  };
}

/** In the report's own unit, with litres behind where that is gallons. */
function volumeCell({ settings }: ReportContext, volume: number): SheetCell {
  return figures(
    [{ text: exactVolumeText(volume, settings) }],
    settings.volume === 'gal' ? formatVolume(volume, 'L') : '',
  );
}

function wineSection(context: ReportContext, { vessels }: Stocktake): SheetSection | undefined {
  if (vessels.length === 0) return undefined;
  const { links } = context;
  const computed = vessels.reduce((sum, one) => sum + one.computed, 0);
  const measured = vessels.reduce((sum, one) => sum + one.measured, 0);
  return {
    id: 'wine',
    title: 'Wine in vessels',
    sheet: {
      label: 'Wine in vessels',
      caption:
        'Vessel by vessel; what differs is a gain or a loss of the day, unless the book’s figure was an estimate',
      columns: [
        { name: 'Vessel' },
        { name: 'Wine' },
        { name: 'By the book', kind: 'number' },
        { name: 'Found', kind: 'number' },
        { name: 'Differs', kind: 'number' },
        { name: 'By' },
        { name: 'Line', kind: 'line' },
      ],
      rows: vessels.map((one) => ({
        cells: [
          figures([links.vessel(one.vessel.facts.id)]),
          one.lot === undefined ? EMPTY : figures([links.lot(one.lot.facts.id)]),
          volumeCell(context, one.computed),
          volumeCell(context, one.measured),
          figures([{ text: differenceText(context, one.measured - one.computed) }], one.settled ? 'settled' : ''),
          cell(one.happening.event.hands.join(', ')),
          figures([links.line(one.happening.event.place)]),
        ],
      })),
      foot: {
        cells: [
          cell('all'),
          EMPTY,
          volumeCell(context, computed),
          volumeCell(context, measured),
          cell(differenceText(context, measured - computed)),
          EMPTY,
          EMPTY,
        ],
      },
      sort: true,
    },
  };
}

function bottleSection(context: ReportContext, { bottles }: Stocktake): SheetSection | undefined {
  if (bottles.length === 0) return undefined;
  const { links } = context;
  return {
    id: 'bottles',
    title: 'Bottles',
    sheet: {
      label: 'Bottles',
      caption: 'By bottling and size; a bottle that is missing without a line that says where it went is a shortage',
      columns: [
        { name: 'Bottling' },
        { name: 'Size', kind: 'nowrap' },
        { name: 'By the book', kind: 'number' },
        { name: 'Found', kind: 'number' },
        { name: 'Differs', kind: 'number' },
        { name: 'Volume of it', kind: 'number' },
        { name: 'Why', kind: 'words' },
        { name: 'Line', kind: 'line' },
      ],
      rows: bottles.map((one) => {
        const differs = one.counted - one.computed;
        return {
          cells: [
            figures([links.bottling(one.lot)]),
            cell(bottleText(one.size)),
            cell(String(one.computed)),
            cell(String(one.counted)),
            cell(signed(differs)),
            cell(differs === 0 ? '' : differenceText(context, differs * one.size)),
            cell(one.happening.event.remark ?? ''),
            figures([links.line(one.happening.event.place)]),
          ],
        };
      }),
      sort: true,
    },
  };
}

function materialSection(context: ReportContext, { materials }: Stocktake): SheetSection | undefined {
  if (materials.length === 0) return undefined;
  const { links } = context;
  return {
    id: 'materials',
    title: 'Materials',
    sheet: {
      label: 'Materials',
      caption: 'What was counted, against what was counted before and bought since, less what was used since',
      columns: [
        { name: 'Material' },
        { name: 'By the book', kind: 'number' },
        { name: 'Found', kind: 'number' },
        { name: 'Differs', kind: 'number' },
        { name: 'Line', kind: 'line' },
      ],
      rows: materials.map(({ facts, counted: { amount, difference, said, place } }) => ({
        cells: [
          figures([links.material(facts.id)]),
          amount === undefined || difference === undefined
            ? cell('not known before')
            : cell(storeText({ unit: amount.unit, amount: amount.amount - difference })),
          cell(said),
          amount === undefined || difference === undefined
            ? EMPTY
            : cell(withSign(storeText({ unit: amount.unit, amount: Math.abs(difference) }), difference)),
          figures([figureAt(context, links.line(place).text, place)]),
        ],
      })),
      sort: true,
    },
  };
}

function missedSection({ missed: { vessels, lots } }: Stocktake): SheetSection {
  const names = (list: readonly { readonly facts: { readonly name: string } }[]): string =>
    nameList(
      list.map(({ facts }) => facts.name),
      60,
    );
  return {
    id: 'missed',
    title: 'What was not looked at',
    words: [
      ...(vessels.length === 0
        ? []
        : [{ text: `Held wine or must that evening, and was not dipped: ${names(vessels)}.` }]),
      ...(lots.length === 0 ? [] : [{ text: `Had bottles in the cellar, and were not counted: ${names(lots)}.` }]),
      ...(vessels.length + lots.length === 0
        ? [{ text: 'Nothing: every vessel that held something was dipped, and every bottling counted.' }]
        : []),
    ],
  };
}
