/** Fruit of a vintage: its weigh tags, what each block and grower gave, how it ripened, and what became of each lot of it. */
import type { LotId, Micrograms, Microlitres } from '../journal/events.ts';
import { type Figure, figureAt, type ReportContext } from './context.ts';
import { dayOf, isoDay, shortDayText, timeText } from './dates.ts';
import { massText, volumeText } from './figures.ts';
import { firstReadings } from './first-readings.ts';
import {
  cropText,
  groundOf,
  growerOf,
  type Load,
  loadsByVintage,
  outcomeOf,
  type VintageLoads,
  yieldTexts,
} from './fruit-loads.ts';
import { outcomesByFruitLot, sumOutcomes } from './fruit-outcome.ts';
import { grouped } from './grouped.ts';
import { counted } from './names.ts';
import { type RipeningModel, ripeningOf, ripeningToCome } from './ripening.ts';
import { cell, figures, type Sheet, type SheetCell, type SheetRow } from './sheet.ts';

export interface FruitPage {
  readonly path: string;
  readonly title: string;
  readonly of: VintageLoads;
  readonly newest: boolean;
  /** Weigh tags from here on; pages after the first hold only those. */
  readonly from: number;
}

export interface FruitModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  /** The pages of the other vintages, the newest first. */
  readonly others: readonly Figure[];
  readonly vintage: Figure | undefined;
  readonly ripening: RipeningModel | undefined;
  /** Of fruit that is not picked yet. */
  readonly toCome: RipeningModel | undefined;
  readonly blocks: Sheet | undefined;
  readonly growers: Sheet | undefined;
  readonly lots: Sheet | undefined;
  readonly tags: Sheet | undefined;
  readonly furtherTags: readonly Figure[];
}

/** Weigh tags on one page. */
const MOST_TAGS = 250;
/** Vintages named in the line of links. */
const MOST_OTHERS = 40;

const yearText = ({ vintage }: VintageLoads): string => (vintage === undefined ? 'no vintage told' : String(vintage));

/** The pages of all vintages, the newest first; without any fruit there is one that says so. */
export function fruitPages(context: ReportContext): FruitPage[] {
  const vintages = loadsByVintage(context.book);
  if (vintages.length === 0)
    return [{ path: 'fruit.html', title: 'Fruit', of: { vintage: undefined, loads: [] }, newest: true, from: 0 }];
  return vintages.flatMap((of, index) => {
    const name = of.vintage === undefined ? 'untold' : String(of.vintage);
    const title = `Fruit of ${yearText(of)}`;
    const pages: FruitPage[] = [];
    for (let from = 0; from === 0 || from < of.loads.length; from += MOST_TAGS) {
      const number = from / MOST_TAGS + 1;
      const path = number > 1 ? `fruit/${name}-${number}.html` : index === 0 ? 'fruit.html' : `fruit/${name}.html`;
      pages.push({ path, title: number > 1 ? `${title}, weigh tags ${number}` : title, of, newest: index === 0, from });
    }
    return pages;
  });
}

export function fruitModel(context: ReportContext, pages: readonly FruitPage[], page: FruitPage): FruitModel {
  const { path, title, of, newest, from } = page;
  const { settings, links } = context;
  const { loads, vintage } = of;
  const own = pages.filter((one) => one.of === of);
  const first = from === 0;
  const tags = loads.slice(from, from + MOST_TAGS);
  return {
    path,
    title,
    lead:
      loads.length === 0
        ? ''
        : `${massText(netOf(loads), settings)} in ${counted(loads.length, 'load')}${spanText(loads)}.`,
    others: pages
      .filter((one) => one.of !== of && one.from === 0)
      .slice(0, MOST_OTHERS)
      .map((one) => ({ text: yearText(one.of), href: one.path })),
    vintage: vintage === undefined ? undefined : links.vintage(vintage),
    ripening: first && loads.length > 0 ? ripeningOf(context, vintage) : undefined,
    toCome: first && newest ? ripeningToCome(context) : undefined,
    blocks: first && loads.length > 0 ? blockSheet(context, loads) : undefined,
    growers:
      first && new Set(loads.map(({ origin }) => growerOf(origin))).size > 1 ? growerSheet(context, loads) : undefined,
    lots: first && loads.length > 0 ? lotSheet(context, loads) : undefined,
    tags: tags.length === 0 ? undefined : tagSheet(context, tags, loads.length),
    furtherTags: own
      .filter((one) => one !== page)
      .map((one) => ({ text: `weigh tags from number ${one.from + 1}`, href: `${one.path}#tags` })),
  };
}

function netOf(loads: readonly Load[]): Micrograms {
  return loads.reduce((sum, { event }) => sum + event.net, 0);
}

function spanText(loads: readonly Load[]): string {
  const [first, last] = [loads[0], loads.at(-1)];
  if (first === undefined || last === undefined) return '';
  const [from, until] = [dayOf(first.event.minute), dayOf(last.event.minute)];
  return from === until ? `, on ${shortDayText(from)}` : `, from ${shortDayText(from)} to ${shortDayText(until)}`;
}

/** The day or days of picking, the first and the last linked to their lines. */
function pickedCell(context: ReportContext, loads: readonly Load[]): SheetCell {
  const [first, last] = [loads[0], loads.at(-1)];
  if (first === undefined || last === undefined) return { figures: [] };
  const at = ({ event }: Load): Figure => figureAt(context, shortDayText(dayOf(event.minute)), event.place);
  const [from, until] = [dayOf(first.event.minute), dayOf(last.event.minute)];
  return { figures: from === until ? [at(first)] : [at(first), at(last)], iso: isoDay(from) };
}

const METHOD = { must: 'method.html#must-yield', wine: 'method.html#wine-yield' } as const;

const TAGS = '#tags';

function blockSheet(context: ReportContext, loads: readonly Load[]): Sheet {
  const { settings, book } = context;
  const row = (of: readonly Load[]): SheetRow => {
    const origin = of[0]?.origin;
    const mass = netOf(of);
    const facts = book.blocks.find(({ name }) => name === origin?.block);
    const gave = yieldTexts(outcomeOf(book, of), settings);
    const crop = cropText(mass, facts?.hectares, settings);
    return {
      cells: [
        facts === undefined ? cell(origin?.block ?? 'not told') : figures([figureAt(context, facts.name, facts.place)]),
        cell(origin?.variety ?? ''),
        cell(origin?.region ?? ''),
        cell(growerOf(origin)),
        pickedCell(context, of),
        cell(String(of.length), TAGS),
        cell(massText(mass, settings), TAGS),
        crop === '' ? { figures: [], quiet: 'area not declared' } : cell(crop),
        cell(gave.must, METHOD.must),
        cell(gave.wine, METHOD.wine),
      ],
    };
  };
  return {
    label: 'Fruit by block',
    caption: 'Where blocks were crushed together, each has its part of the wine by weight',
    columns: [
      { name: 'Block' },
      { name: 'Variety' },
      { name: 'Region' },
      { name: 'Grower' },
      { name: 'Picked', kind: 'nowrap' },
      { name: 'Loads', kind: 'number' },
      { name: 'Fruit', kind: 'number' },
      { name: 'Crop', kind: 'number' },
      { name: 'Must yield', kind: 'number' },
      { name: 'Wine yield', kind: 'number' },
    ],
    rows: [...grouped(loads, ({ origin }) => groundOf(origin)).values()].map(row),
    sort: true,
  };
}

function growerSheet(context: ReportContext, loads: readonly Load[]): Sheet {
  const { settings, book } = context;
  const row = ([grower, of]: readonly [string, readonly Load[]]): SheetRow => {
    const gave = yieldTexts(outcomeOf(book, of), settings);
    const blocks = new Set(of.map(({ origin }) => origin?.block ?? 'not told'));
    return {
      cells: [
        cell(grower === '' ? 'not told' : grower),
        cell([...blocks].join(', ')),
        cell(String(of.length), TAGS),
        cell(massText(netOf(of), settings), TAGS),
        cell(gave.must, METHOD.must),
        cell(gave.wine, METHOD.wine),
      ],
    };
  };
  return {
    label: 'Fruit by grower',
    caption: 'What each grower’s fruit weighed and gave',
    columns: [
      { name: 'Grower' },
      { name: 'Blocks', kind: 'words' },
      { name: 'Loads', kind: 'number' },
      { name: 'Fruit', kind: 'number' },
      { name: 'Must yield', kind: 'number' },
      { name: 'Wine yield', kind: 'number' },
    ],
    rows: [...grouped(loads, ({ origin }) => growerOf(origin))].map(row),
    sort: true,
  };
}

function lotSheet(context: ReportContext, loads: readonly Load[]): Sheet {
  const { settings, book, links } = context;
  const outcomes = outcomesByFruitLot(book);
  const rows = [...new Set(loads.map(({ event }) => event.lot))].map((id): SheetRow => {
    const lot = book.lots[id];
    const sum = sumOutcomes(outcomes.get(id) ?? []);
    const gave = yieldTexts(sum, settings);
    const mass = (of: Micrograms | undefined): string => (of === undefined || of === 0 ? '' : massText(of, settings));
    const volume = (of: Microlitres): string => (of < 1 ? '' : volumeText(Math.round(of), settings));
    return {
      cells: [
        figures([links.lot(id)]),
        cell(mass(lot?.fruit.received), TAGS),
        cell(mass(lot?.fruit.sorted)),
        cell(mass(lot?.fruit.stems)),
        figures(firstReadings(context, id)),
        cell(volume(sum.made)),
        cell(volume(sum.free)),
        cell(volume(sum.press)),
        cell(gave.must, METHOD.must),
        cell(gave.wine, METHOD.wine),
      ],
    };
  });
  return {
    label: 'Fruit by lot',
    caption: 'The fruit of each lot, what was read first, and what left its skins; what was bled off ran free',
    columns: [
      { name: 'Lot' },
      { name: 'Received', kind: 'number' },
      { name: 'Sorted out', kind: 'number' },
      { name: 'Stems', kind: 'number' },
      { name: 'First readings', kind: 'words' },
      { name: 'Must', kind: 'number' },
      { name: 'Free run', kind: 'number' },
      { name: 'Press run', kind: 'number' },
      { name: 'Must yield', kind: 'number' },
      { name: 'Wine yield', kind: 'number' },
    ],
    rows,
    sort: true,
  };
}

function tagSheet(context: ReportContext, loads: readonly Load[], all: number): Sheet {
  const { settings, links } = context;
  const mass = (of: Micrograms | undefined): SheetCell => cell(of === undefined ? '' : massText(of, settings));
  return {
    label: 'Weigh tags',
    caption:
      loads.length === all
        ? 'Every load, in the order it came'
        : `${loads.length} of ${all} loads, in the order they came`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'Tag' },
      { name: 'Lot' },
      { name: 'Block' },
      { name: 'Variety' },
      { name: 'Grower' },
      { name: 'Bins', kind: 'number' },
      { name: 'Gross', kind: 'number' },
      { name: 'Tare', kind: 'number' },
      { name: 'Net', kind: 'number' },
      { name: 'Line', kind: 'line' },
    ],
    rows: loads.map(({ event, origin }) => ({
      cells: [
        {
          figures: [{ text: shortDayText(dayOf(event.minute)) }],
          iso: isoDay(dayOf(event.minute)),
          quiet: timeText(event.minute),
        },
        cell(event.tag ?? ''),
        figures([links.lot(event.lot)]),
        cell(origin?.block ?? ''),
        cell(origin?.variety ?? ''),
        cell(growerOf(origin)),
        cell(event.bins === undefined ? '' : String(event.bins)),
        mass(event.gross),
        mass(event.tare),
        mass(event.net),
        figures([links.line(event.place)]),
      ],
    })),
    foot: {
      cells: [
        cell('in all'),
        ...Array.from({ length: 8 }, () => cell('')),
        cell(massText(netOf(loads), settings)),
        cell(''),
      ],
    },
    sort: true,
  };
}

/** The must that a lot's fruit gave, whatever name it took in the vessel. */
export function mustOfFruit({ book }: ReportContext, lot: LotId): Microlitres {
  return Math.round(sumOutcomes(outcomesByFruitLot(book).get(lot) ?? []).made);
}
