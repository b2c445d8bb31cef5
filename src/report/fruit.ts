/** Fruit received: by day, and in all by block and by lot, with the must it gave. */
import type { Happening } from '../cellar/book.ts';
import type { LotId, Micrograms, Microlitres, Receive } from '../journal/events.ts';
import { happeningsOf, type ReportContext } from './context.ts';
import { dayOf, fullDayText, isoDay, timeText } from './dates.ts';
import { massText, volumeText, yieldText } from './figures.ts';
import type { Link } from './links.ts';

export interface FruitRow {
  readonly time: string;
  readonly lot: Link;
  readonly block: string;
  readonly variety: string;
  readonly grower: string;
  readonly gross: string;
  readonly tare: string;
  readonly net: string;
  readonly tag: string;
  readonly line: Link;
}

export interface FruitDay {
  readonly title: string;
  readonly iso: string;
  readonly rows: readonly FruitRow[];
  readonly net: string;
}

export interface FruitModel {
  readonly path: string;
  readonly days: readonly FruitDay[];
  readonly blocks: readonly {
    readonly block: string;
    readonly variety: string;
    readonly region: string;
    readonly grower: string;
    readonly loads: number;
    readonly net: string;
    /** A hectare, where the block's area is known. */
    readonly crop: string;
  }[];
  readonly lots: readonly {
    readonly lot: Link;
    readonly received: string;
    readonly sorted: string;
    readonly stems: string;
    readonly must: string;
    readonly yield: string;
  }[];
  readonly total: string;
}

export function fruitModel(context: ReportContext): FruitModel {
  const { settings, links, book } = context;
  const loads = book.happenings.flatMap(({ event }) => (event.kind === 'receive' ? [event] : []));
  const days = new Map<number, Receive[]>();
  for (const load of loads) {
    const day = dayOf(load.minute);
    const already = days.get(day);
    if (already === undefined) days.set(day, [load]);
    else already.push(load);
  }
  const net = (of: readonly Receive[]): string => massText(netOf(of), settings);
  return {
    path: 'fruit.html',
    days: [...days].map(([day, of]) => ({
      title: fullDayText(day),
      iso: isoDay(day),
      rows: of.map((load) => rowOf(context, load)),
      net: net(of),
    })),
    blocks: blocksOf(context, loads),
    lots: book.lots.flatMap(({ facts, fruit }) => {
      if (fruit.received === 0) return [];
      const must = mustOfFruit(context, facts.id);
      return [
        {
          lot: links.lot(facts.id),
          received: massText(fruit.received, settings),
          sorted: fruit.sorted === 0 ? '' : massText(fruit.sorted, settings),
          stems: fruit.stems === 0 ? '' : massText(fruit.stems, settings),
          must: must === 0 ? '' : volumeText(must, settings),
          yield: must === 0 ? '' : (yieldText(must, fruit.used, settings) ?? ''),
        },
      ];
    }),
    total: net(loads),
  };
}

/** A crop is told to the whole kilogram. */
const WHOLE = 1_000_000_000;

function netOf(loads: readonly Receive[]): Micrograms {
  return loads.reduce((sum, load) => sum + load.net, 0);
}

/** The must that a lot's fruit gave, whatever name it took in the vessel. */
export function mustOfFruit(context: ReportContext, lot: LotId): Microlitres {
  let made = 0;
  for (const { event, movements } of happeningsOf(context, context.book.lots[lot]?.happenings ?? [])) {
    if (fruitLotOf(event) !== lot) continue;
    for (const movement of movements) {
      if (movement.kind === 'in' && movement.how === 'made') made += movement.volume;
    }
  }
  return made;
}

function fruitLotOf(event: Happening['event']): LotId | undefined {
  if (event.kind === 'crush') return event.lot;
  if (event.kind !== 'press') return undefined;
  const lots = event.sources
    .flatMap(({ targets }) => targets)
    .flatMap((target) => (target.kind === 'lot' ? [target.lot] : []));
  // Fruit of several lots pressed together gave one must: it cannot be told apart.
  return lots.length === 1 ? lots[0] : undefined;
}

function rowOf(context: ReportContext, load: Receive): FruitRow {
  const { settings, links, book } = context;
  const origin = book.origins[load.origin];
  return {
    time: timeText(load.minute),
    lot: links.lot(load.lot),
    block: origin?.block ?? '',
    variety: origin?.variety ?? '',
    grower: origin?.estate === true ? 'estate' : (origin?.grower ?? ''),
    gross: load.gross === undefined ? '' : massText(load.gross, settings),
    tare: load.tare === undefined ? '' : massText(load.tare, settings),
    net: massText(load.net, settings),
    tag: load.tag ?? '',
    line: links.line(load.place),
  };
}

function blocksOf(context: ReportContext, loads: readonly Receive[]): FruitModel['blocks'] {
  const { settings, book } = context;
  const blocks = new Map<string, Receive[]>();
  for (const load of loads) {
    const origin = book.origins[load.origin];
    const key = JSON.stringify([
      origin?.block ?? '',
      origin?.variety ?? '',
      origin?.region ?? '',
      origin?.grower ?? '',
    ]);
    const already = blocks.get(key);
    if (already === undefined) blocks.set(key, [load]);
    else already.push(load);
  }
  return [...blocks.values()].map((of) => {
    const origin = book.origins[of[0]?.origin ?? -1];
    const hectares = book.blocks.find(({ name }) => name === origin?.block)?.hectares;
    const mass = netOf(of);
    return {
      block: origin?.block ?? '',
      variety: origin?.variety ?? '',
      region: origin?.region ?? '',
      grower: origin?.estate === true ? 'estate' : (origin?.grower ?? ''),
      loads: of.length,
      net: massText(mass, settings),
      crop:
        hectares === undefined || hectares <= 0
          ? ''
          : `${massText(Math.round(mass / hectares / WHOLE) * WHOLE, settings)}/ha`,
    };
  });
}
