/** From block to bottle: which fruit became which lots, what they became, and what left on the way, in true volumes. */
import type { LotRecord } from '../cellar/book.ts';
import type { Event, LotId, Microlitres, OriginId } from '../journal/events.ts';
import type { Lineage, LineageFlow, LineageLoss, LineageNode } from './charted.ts';
import { lotOf, type ReportContext } from './context.ts';
import { massText, volumeNumberOf, volumeText } from './figures.ts';
import { Known } from './known.ts';
import type { Link } from './links.ts';
import { counted } from './names.ts';
import { cell, figures, type Sheet, type SheetRow } from './sheet.ts';
import { accountOf } from './volumes.ts';

export interface LineageModel {
  readonly chart: Lineage;
  /** What became of what. */
  readonly flows: Sheet;
  /** What left and became nothing else, by lot. */
  readonly losses: Sheet | undefined;
  /** What the drawing leaves out, in a sentence; empty where that is nothing. */
  readonly undrawn: string;
}

/** A flow of less than this share of what it flows into, and of what it comes from, is a topping: it stands in the table only. */
const LEAST_SHARE = 0.005;
const MOST_ROWS = 200;

interface Flow {
  readonly from: string;
  readonly to: string;
  readonly volume: Microlitres;
}

/** A node that is drawn, and how the tables name it. */
interface Named {
  readonly node: LineageNode;
  readonly link: Link;
}

/** The lineage of these lots, all that came into them and all that left them; `undefined` where none of them ever held wine. */
export function lineageOf(
  context: ReportContext,
  ids: ReadonlySet<LotId>,
  title: string,
  /** What lots outside are called: `other vintages`. */
  others: string,
): LineageModel | undefined {
  const lots = [...ids].sort((a, b) => a - b).flatMap((id) => lotOf(context, id) ?? []);
  const held = lots.filter((lot) => broughtInto(lot) > 0);
  if (held.length === 0) return undefined;
  const inside = new Set(held.map(({ facts }) => facts.id));
  const sources = sourcesOf(context, held, inside, others);
  const nodes = new Map<string, Named>();
  for (const named of [...sources.nodes, ...held.map((lot) => lotNode(context, lot))]) nodes.set(named.node.id, named);
  const flows = [...sources.flows, ...held.flatMap((lot) => flowsFrom(lot, inside))];
  const big = new Map(held.map((lot) => [lotKey(lot.facts.id), broughtInto(lot)]));
  const drawn = flows.filter(
    ({ from, to, volume }) =>
      volume >=
      LEAST_SHARE * Math.min(big.get(from) ?? Number.POSITIVE_INFINITY, big.get(to) ?? Number.POSITIVE_INFINITY),
  );
  const losses = held.map((lot) => ({ lot, left: leftOf(lot, inside, others) }));
  const unit = context.settings.volume;
  const number = (volume: Microlitres): number => volumeNumberOf(volume, context.settings);
  const told = new Set(drawn.flatMap(({ from, to }) => [from, to]));
  return {
    chart: {
      title,
      unit,
      nodes: [...nodes.values()].map(({ node }) => node).filter(({ id, kind }) => kind !== 'block' || told.has(id)),
      flows: drawn.map(({ from, to, volume }): LineageFlow => ({ from, to, volume: number(volume) })),
      losses: losses.flatMap(({ lot, left }) =>
        left.map(
          ({ name, volume }): LineageLoss => ({
            from: lotKey(lot.facts.id),
            volume: number(volume),
            text: `${SHORT[name] ?? name} ${roundText(context, volume)}`,
          }),
        ),
      ),
    },
    flows: flowSheet(context, flows, nodes),
    losses: lossSheet(context, losses),
    undrawn: undrawnText(context, flows, drawn),
  };
}

/** Names of losses where there is little room. */
const SHORT: Readonly<Record<string, string>> = {
  'left with the pomace': 'skins',
  'must settled': 'settled',
  evaporated: 'evap.',
  'lost in handling': 'handling',
  'lost in cleaning': 'cleaning',
  'lost by breakage': 'broken',
  'lost otherwise': 'lost',
  'lost at dips': 'at dips',
  dispatched: 'sent',
  'to other lots': 'others',
  'to other vintages': 'others',
};

/** To the whole litre where there is little room, but nothing to nothing. */
function roundText({ settings }: ReportContext, volume: Microlitres): string {
  return volumeText(volume < 5_000_000 ? volume : Math.round(volume / 1_000_000) * 1_000_000, settings);
}

const lotKey = (lot: LotId): string => `lot ${lot}`;

/** All that ever came into a lot, differences at dips left out. */
export function broughtInto({ account }: LotRecord): Microlitres {
  return account.made + account.bought + account.found + account.blendedIn;
}

function lotNode(context: ReportContext, lot: LotRecord): Named {
  const { facts } = lot;
  const link = context.links.lot(facts.id);
  const bottles = lot.bottlesFilled.reduce((sum, { count }) => sum + count, 0);
  const text = facts.bottling ? counted(bottles, 'bottle') : roundText(context, broughtInto(lot));
  return {
    link,
    node: {
      id: lotKey(facts.id),
      kind: facts.bottling ? 'bottling' : 'lot',
      name: facts.name,
      text,
      volume: volumeNumberOf(broughtInto(lot), context.settings),
      ...(link.href === undefined ? {} : { href: link.href }),
    },
  };
}

const flowsFrom = (lot: LotRecord, inside: ReadonlySet<LotId>): Flow[] =>
  lot.children
    .filter((child) => inside.has(child.lot) && child.volume > 0)
    .map((child) => ({ from: lotKey(lot.facts.id), to: lotKey(child.lot), volume: child.volume }));

/** Blocks, purchases, finds, and the wine of lots that are not among them. */
function sourcesOf(
  context: ReportContext,
  lots: readonly LotRecord[],
  inside: ReadonlySet<LotId>,
  others: string,
): { nodes: Named[]; flows: Flow[] } {
  const fruit = fruitFlows(context, lots);
  const flows: Flow[] = [...fruit.flows];
  for (const { facts, account, parents } of lots) {
    const to = lotKey(facts.id);
    if (account.bought > 0) flows.push({ from: 'bought', to, volume: account.bought });
    if (account.found > 0) flows.push({ from: 'found', to, volume: account.found });
    const strange = parents.filter(({ lot }) => !inside.has(lot)).reduce((sum, { volume }) => sum + volume, 0);
    if (strange > 0) flows.push({ from: 'others', to, volume: strange });
  }
  const sum = (from: string): Microlitres =>
    flows.reduce((total, flow) => (flow.from === from ? total + flow.volume : total), 0);
  const named = [
    ['bought', 'bought in'],
    ['found', 'found'],
    ['others', others],
  ] as const;
  const nodes = named.flatMap(([id, name]): Named[] => {
    const volume = sum(id);
    if (volume === 0) return [];
    const text = volumeText(volume, context.settings);
    return [{ link: { text: name }, node: { id, kind: id === 'others' ? 'lot' : 'block', name, text, volume: 0 } }];
  });
  return { nodes: [...fruit.nodes, ...nodes], flows };
}

/** What fruit became, gathered once for all the drawings of a book. */
interface Musts {
  /** Microlitres of must by the block its fruit came from, for each lot it went into. */
  readonly made: ReadonlyMap<LotId, ReadonlyMap<string, Microlitres>>;
  /** The lots of fruit that gave to each lot. */
  readonly fruitOf: ReadonlyMap<LotId, ReadonlySet<LotId>>;
  /** Micrograms of fruit by block, for each lot of fruit. */
  readonly received: ReadonlyMap<LotId, ReadonlyMap<string, number>>;
}

const KNOWN = new Known<ReportContext, Musts>(mustsOf);

/**
 * The must that each block's fruit gave to each lot. Fruit of several blocks in one lot was crushed together: each gave of
 * the must in proportion to its weight.
 */
function mustsOf(context: ReportContext): Musts {
  const known = KNOWN.get(context);
  if (known !== undefined) return known;
  const received = receivedByLot(context);
  const made = new Map<LotId, Map<string, Microlitres>>();
  const fruitOf = new Map<LotId, Set<LotId>>();
  for (const { event, movements } of context.book.happenings) {
    if (event.kind !== 'crush' && event.kind !== 'press') continue;
    const fruitLots = fruitLotsOf(event);
    const loads = summed(fruitLots.flatMap((lot) => [...(received.get(lot) ?? [])]));
    const whole = [...loads.values()].reduce((sum, mass) => sum + mass, 0);
    if (whole === 0) continue;
    for (const movement of movements) {
      if (movement.kind !== 'in' || movement.how !== 'made') continue;
      const { lot, volume } = movement;
      const blocks = made.get(lot) ?? new Map<string, Microlitres>();
      for (const [block, mass] of loads) blocks.set(block, (blocks.get(block) ?? 0) + (volume * mass) / whole);
      made.set(lot, blocks);
      fruitOf.set(lot, new Set([...(fruitOf.get(lot) ?? []), ...fruitLots]));
    }
  }
  const musts = { made, fruitOf, received };
  KNOWN.set(context, musts);
  return musts;
}

/** Of these lots: the flows from the blocks, and the blocks with the weight of the fruit they gave to them. */
function fruitFlows(context: ReportContext, lots: readonly LotRecord[]): { nodes: Named[]; flows: Flow[] } {
  const { made, fruitOf, received } = mustsOf(context);
  const flows: Flow[] = [];
  const fruitLots = new Set<LotId>();
  for (const { facts } of lots) {
    for (const lot of fruitOf.get(facts.id) ?? []) fruitLots.add(lot);
    for (const [block, volume] of made.get(facts.id) ?? [])
      flows.push({ from: `block ${block}`, to: lotKey(facts.id), volume: Math.round(volume) });
  }
  const masses = summed([...fruitLots].flatMap((lot) => [...(received.get(lot) ?? [])]));
  const nodes = [...masses].map(([block, mass]): Named => {
    const text = massText(Math.round(mass), context.settings);
    const link = { text: block, href: 'fruit.html' };
    return {
      link,
      node: { id: `block ${block}`, kind: 'block', name: block, text, volume: 0, href: link.href },
    };
  });
  return { nodes, flows };
}

/** The lots of fruit that an event crushes or presses. */
function fruitLotsOf(event: Event): LotId[] {
  if (event.kind === 'crush') return [event.lot];
  if (event.kind !== 'press') return [];
  const targets = event.sources.flatMap((source) => source.targets);
  return targets.flatMap((target) => (target.kind === 'lot' ? [target.lot] : []));
}

function summed(parts: readonly (readonly [string, number])[]): Map<string, number> {
  const sums = new Map<string, number>();
  for (const [name, amount] of parts) sums.set(name, (sums.get(name) ?? 0) + amount);
  return sums;
}

/** Micrograms of fruit by block, or by variety where no block is named. */
function receivedByLot({ book }: ReportContext): Map<LotId, Map<string, number>> {
  const nameOf = (origin: OriginId): string => {
    const facts = book.origins[origin];
    return facts?.block ?? facts?.variety ?? 'fruit';
  };
  const lots = new Map<LotId, Map<string, number>>();
  for (const { event } of book.happenings) {
    if (event.kind !== 'receive') continue;
    const blocks = lots.get(event.lot) ?? new Map<string, number>();
    const name = nameOf(event.origin);
    blocks.set(name, (blocks.get(name) ?? 0) + event.net);
    lots.set(event.lot, blocks);
  }
  return lots;
}

interface Left {
  readonly name: string;
  readonly volume: Microlitres;
}

/** Accounts that are told by the flows, or that say nothing of what left. */
const TOLD: ReadonlySet<string> = new Set(['went to other lots', 'set apart', 'bottled']);

/** What left a lot and became nothing else, the most first; wine that went to lots outside is among it. */
function leftOf(lot: LotRecord, inside: ReadonlySet<LotId>, others: string): Left[] {
  const left = accountOf(lot).flatMap(({ name, volume }): Left[] =>
    volume < 0 && !TOLD.has(name) ? [{ name, volume: -volume }] : [],
  );
  const away = lot.children.filter((child) => !inside.has(child.lot)).reduce((sum, { volume }) => sum + volume, 0);
  if (away > 0) left.push({ name: `to ${others}`, volume: away });
  return left.sort((a, b) => b.volume - a.volume);
}

function flowSheet(context: ReportContext, flows: readonly Flow[], nodes: ReadonlyMap<string, Named>): Sheet {
  const link = (id: string): Link => nodes.get(id)?.link ?? { text: '' };
  const rows = flows.slice(0, MOST_ROWS).map(
    ({ from, to, volume }): SheetRow => ({
      cells: [figures([link(from)]), figures([link(to)]), cell(volumeText(volume, context.settings))],
    }),
  );
  const further = flows.length - rows.length;
  return {
    label: 'What became of what',
    caption: `What became of what${further > 0 ? `; ${further} more flows are told on the pages of the lots` : ''}`,
    columns: [{ name: 'From' }, { name: 'To' }, { name: 'Volume', kind: 'number' }],
    rows,
    sort: true,
  };
}

function lossSheet(
  context: ReportContext,
  losses: readonly { readonly lot: LotRecord; readonly left: readonly Left[] }[],
): Sheet | undefined {
  const sums = new Map<string, Microlitres>();
  for (const { left } of losses) for (const { name, volume } of left) sums.set(name, (sums.get(name) ?? 0) + volume);
  const kinds = [...sums].sort((a, b) => b[1] - a[1]).map(([name]) => name);
  const rows = losses.filter(({ left }) => left.length > 0);
  if (rows.length === 0) return undefined;
  const text = (volume: Microlitres | undefined): string =>
    volume === undefined || volume === 0 ? '' : volumeText(volume, context.settings);
  const total = [...sums.values()].reduce((sum, volume) => sum + volume, 0);
  return {
    label: 'What left',
    caption: 'What left and became nothing else, by lot',
    columns: [
      { name: 'Lot' },
      ...kinds.map((name) => ({ name, kind: 'number' as const })),
      { name: 'in all', kind: 'number' },
    ],
    rows: rows.slice(0, MOST_ROWS).map(({ lot, left }) => ({
      cells: [
        figures([context.links.lot(lot.facts.id)]),
        ...kinds.map((kind) => cell(text(left.find(({ name }) => name === kind)?.volume))),
        cell(text(left.reduce((sum, { volume }) => sum + volume, 0))),
      ],
    })),
    foot: { cells: [cell('in all'), ...kinds.map((kind) => cell(text(sums.get(kind)))), cell(text(total))] },
    sort: true,
  };
}

function undrawnText(context: ReportContext, flows: readonly Flow[], drawn: readonly Flow[]): string {
  const count = flows.length - drawn.length;
  if (count === 0) return '';
  const volume = (of: readonly Flow[]): Microlitres => of.reduce((sum, flow) => sum + flow.volume, 0);
  const much = volumeText(volume(flows) - volume(drawn), context.settings);
  return count === 1
    ? `A topping of ${much} stands in the table only.`
    : `${count} toppings of ${much} in all stand in the table only.`;
}

/** A lot with all it came from and all it became. */
export function familyOf(context: ReportContext, id: LotId): Set<LotId> {
  const family = new Set<LotId>();
  const walk = (start: LotId, kin: 'parents' | 'children'): void => {
    const seen = new Set<LotId>([start]);
    for (const lot of seen) {
      family.add(lot);
      for (const relation of lotOf(context, lot)?.[kin] ?? []) seen.add(relation.lot);
    }
  };
  walk(id, 'parents');
  walk(id, 'children');
  return family;
}
