/**
 * Where the parts of a lineage lie: ranks by the order of becoming, in each an order with few crossings, and places near
 * to what a part came from and became. All of it follows from the data alone, without chance.
 */
import type { Lineage, LineageFlow, LineageKind, LineageLoss } from '../report/charted.ts';
import { grouped } from '../report/grouped.ts';
import { figure } from './labels.ts';

/** A node as it is drawn: one of the data's, or several small ones of a rank folded into one. */
export interface Box {
  readonly id: string;
  readonly kind: LineageKind | 'more';
  /** Whether it is fruit and no wine yet: a block, or blocks. */
  readonly grown: boolean;
  readonly name: string;
  readonly text: string;
  readonly href?: string;
  /** What it is drawn as wide as: the most of what it held, got and gave. */
  readonly volume: number;
  readonly losses: readonly LineageLoss[];
  /** Names of what was folded into it. */
  readonly folded: readonly string[];
}

/** A box, or a place a ribbon passes through on its way over a rank. */
export interface Stop {
  readonly box: Box | undefined;
  readonly rank: number;
  readonly volume: number;
  /** Where its slot begins across the ranks, and how much it takes. */
  at: number;
  size: number;
}

/** A part of a ribbon from one rank to the next. */
export interface Leg {
  readonly from: Stop;
  readonly to: Stop;
  readonly volume: number;
}

/** A flow from box to box, by its legs. */
export interface Ribbon {
  readonly from: Box;
  readonly to: Box;
  readonly volume: number;
  readonly legs: readonly Leg[];
}

export interface LineageLayout {
  readonly ranks: readonly (readonly Stop[])[];
  readonly ribbons: readonly Ribbon[];
  /** Flows too many to be drawn: how many, and how much they are together. */
  readonly undrawn: { readonly count: number; readonly volume: number };
}

/** More ribbons than this nobody can follow: the smallest are left out, and counted. */
const MOST_FLOWS = 150;
/** What a drawing has room for. */
export interface LineageRoom {
  /** Boxes of a rank; the smallest beyond are folded into one. */
  readonly boxes: number;
  /** Losses of a box; the smallest beyond are told as one. */
  readonly losses: number;
}

/** Ranks and ribbons in their order, not yet placed. */
export function rankedLineage(data: Lineage, room: LineageRoom): LineageLayout {
  const nodes = new Map(data.nodes.map((node) => [node.id, node]));
  const order = new Map([...nodes.keys()].map((id, index) => [id, index]));
  const flows = summed(
    data.flows.filter(({ from, to, volume }) => nodes.has(from) && nodes.has(to) && from !== to && volume > 0),
  );
  const after = ({ from, to }: LineageFlow): boolean => (order.get(from) ?? 0) < (order.get(to) ?? 0);
  const onward = flows.filter(after).sort((a, b) => b.volume - a.volume);
  const drawn = onward.slice(0, MOST_FLOWS);
  // What goes back to an older lot would turn the drawing round: it is told as what leaves.
  const back = flows.filter((flow) => !after(flow) && Number.isFinite(flow.volume));
  const losses = [
    ...data.losses.filter(({ volume }) => volume > 0),
    ...back.map(({ from, to, volume }) => ({
      from,
      volume,
      text: `${figure(volume)} ${data.unit} back to ${nodes.get(to)?.name ?? to}`,
    })),
  ];
  const ranks = ranksOf([...nodes.keys()], drawn);
  const boxes = [...nodes.values()].map((node): Box => {
    const lost = losses.filter(({ from }) => from === node.id);
    const gave = sumOf([...drawn.filter(({ from }) => from === node.id), ...lost]);
    const got = sumOf(drawn.filter(({ to }) => to === node.id));
    return {
      id: node.id,
      kind: node.kind,
      grown: node.kind === 'block',
      name: node.name,
      text: node.text,
      ...(node.href === undefined ? {} : { href: node.href }),
      volume: Math.max(node.volume, gave, got),
      losses: lostInShort(lost, room.losses, data.unit),
      folded: [],
    };
  });
  const folded = fold(boxes, ranks, room.boxes, data.unit);
  const rest = onward.slice(MOST_FLOWS);
  return {
    ...threaded(
      folded.boxes,
      folded.ranks,
      summed(drawn.map(folded.moved)).filter(({ from, to }) => from !== to),
    ),
    undrawn: { count: rest.length, volume: sumOf(rest) },
  };
}

function sumOf(parts: readonly { readonly volume: number }[]): number {
  return parts.reduce((sum, { volume }) => sum + volume, 0);
}

/** One flow for each pair. */
function summed(flows: readonly LineageFlow[]): LineageFlow[] {
  const pairs = new Map<string, LineageFlow>();
  for (const flow of flows) {
    const pair = JSON.stringify([flow.from, flow.to]);
    pairs.set(pair, { ...flow, volume: flow.volume + (pairs.get(pair)?.volume ?? 0) });
  }
  return [...pairs.values()];
}

function lostInShort(losses: readonly LineageLoss[], most: number, unit: string): LineageLoss[] {
  if (losses.length <= most) return [...losses];
  const sorted = [...losses].sort((a, b) => b.volume - a.volume);
  const kept = sorted.slice(0, most - 1);
  const rest = sorted.slice(most - 1);
  const volume = sumOf(rest);
  const words = kept.length === 0 ? 'gone' : `${rest.length} more`;
  return [...kept, { from: rest[0]?.from ?? '', volume, text: `${words} ${figure(volume, 2)} ${unit}` }];
}

/** Each is one rank after the latest it was made of; what was made of nothing stands just before what it first became. */
function ranksOf(ids: readonly string[], flows: readonly LineageFlow[]): Map<string, number> {
  const ranks = new Map<string, number>();
  const into = grouped(flows, ({ to }) => to);
  const outOf = grouped(flows, ({ from }) => from);
  for (const id of ids) {
    ranks.set(id, Math.max(0, ...(into.get(id) ?? []).map(({ from }) => (ranks.get(from) ?? 0) + 1)));
  }
  for (const id of ids) {
    const children = outOf.get(id) ?? [];
    if (into.has(id) || children.length === 0) continue;
    ranks.set(id, Math.min(...children.map(({ to }) => ranks.get(to) ?? 0)) - 1);
  }
  return ranks;
}

interface Folded {
  readonly boxes: readonly Box[];
  readonly ranks: ReadonlyMap<string, number>;
  readonly moved: (flow: LineageFlow) => LineageFlow;
}

/** Of each rank the smallest beyond `most` become one box. */
function fold(boxes: readonly Box[], ranks: ReadonlyMap<string, number>, most: number, unit: string): Folded {
  const kept: Box[] = [];
  const into = new Map<string, string>();
  const foldedRanks = new Map(ranks);
  const byRank = grouped(boxes, ({ id }) => String(ranks.get(id) ?? 0));
  for (const [rank, of] of byRank) {
    if (of.length <= most) {
      kept.push(...of);
      continue;
    }
    const bySize = [...of].sort((a, b) => b.volume - a.volume);
    const small = new Set(bySize.slice(most - 1));
    kept.push(...of.filter((box) => !small.has(box)));
    const parts = of.filter((box) => small.has(box));
    const volume = sumOf(parts);
    const id = `more ${rank}`;
    for (const part of parts) into.set(part.id, id);
    foldedRanks.set(id, Number(rank));
    const lost = sumOf(parts.flatMap(({ losses }) => losses));
    kept.push({
      id,
      kind: 'more',
      grown: parts.every(({ grown }) => grown),
      name: `${parts.length} more`,
      text: `${figure(volume)} ${unit}`,
      volume,
      losses: lost > 0 ? [{ from: id, volume: lost, text: `gone ${figure(lost, 2)} ${unit}` }] : [],
      folded: parts.map(({ name }) => name),
    });
  }
  const moved = (flow: LineageFlow): LineageFlow => ({
    ...flow,
    from: into.get(flow.from) ?? flow.from,
    to: into.get(flow.to) ?? flow.to,
  });
  return { boxes: kept, ranks: foldedRanks, moved };
}

/** Stops in ranks, ribbons led through the ranks between, and few crossings. */
function threaded(
  boxes: readonly Box[],
  rankOf: ReadonlyMap<string, number>,
  flows: readonly LineageFlow[],
): Pick<LineageLayout, 'ranks' | 'ribbons'> {
  const ranks: Stop[][] = [];
  const add = (box: Box | undefined, rank: number, volume: number): Stop => {
    const stop: Stop = { box, rank, volume, at: 0, size: 0 };
    for (let missing = ranks.length; missing <= rank; missing += 1) ranks.push([]);
    ranks[rank]?.push(stop);
    return stop;
  };
  const stops = new Map(boxes.map((box) => [box.id, add(box, rankOf.get(box.id) ?? 0, box.volume)]));
  const ribbons: Ribbon[] = [];
  for (const { from, to, volume } of flows) {
    const [start, end] = [stops.get(from), stops.get(to)];
    if (start?.box === undefined || end?.box === undefined || start.rank >= end.rank) continue;
    const way = [start];
    for (let rank = start.rank + 1; rank < end.rank; rank += 1) way.push(add(undefined, rank, volume));
    way.push(end);
    const legs = way.slice(1).map((stop, index) => ({ from: way[index] ?? start, to: stop, volume }));
    ribbons.push({ from: start.box, to: end.box, volume, legs });
  }
  return { ranks: uncrossed(ranks, ribbons), ribbons };
}

const SWEEPS = 8;

/** Orders every rank by the middle of its kin, to and fro, and keeps the order that crossed least. */
function uncrossed(ranks: readonly Stop[][], ribbons: readonly Ribbon[]): Stop[][] {
  const legs = ribbons.flatMap((ribbon) => ribbon.legs);
  const kin = kinOf(legs);
  let current = ranks.map((rank) => [...rank]);
  let best = current;
  let least = crossings(current, legs);
  for (let sweep = 0; sweep < SWEEPS && least > 0; sweep += 1) {
    const place = placesIn(current);
    const down = sweep % 2 === 0;
    const next = [...current];
    for (let step = 1; step < next.length; step += 1) {
      const rank = down ? step : next.length - 1 - step;
      const middle = (stop: Stop): number => {
        const near = (kin.get(stop) ?? []).filter(({ stop: other }) => (down ? other.rank < rank : other.rank > rank));
        const weight = sumOf(near);
        if (weight === 0) return place.get(stop) ?? 0;
        return near.reduce((sum, { stop: other, volume }) => sum + (place.get(other) ?? 0) * volume, 0) / weight;
      };
      const sorted = (next[rank] ?? [])
        .map((stop, index) => ({ stop, index, middle: middle(stop) }))
        .sort((a, b) => a.middle - b.middle || a.index - b.index)
        .map(({ stop }) => stop);
      next[rank] = sorted;
      for (const [index, stop] of sorted.entries()) place.set(stop, index / Math.max(1, sorted.length - 1));
    }
    current = next;
    const crossed = crossings(current, legs);
    if (crossed < least) [best, least] = [current, crossed];
  }
  return best;
}

/** Places from 0 to 1 within a rank, so that ranks of different sizes compare. */
function placesIn(ranks: readonly (readonly Stop[])[]): Map<Stop, number> {
  return new Map(ranks.flatMap((rank) => rank.map((stop, index) => [stop, index / Math.max(1, rank.length - 1)])));
}

interface Kin {
  readonly stop: Stop;
  readonly volume: number;
}

function kinOf(legs: readonly Leg[]): Map<Stop, Kin[]> {
  const kin = new Map<Stop, Kin[]>();
  const tie = (stop: Stop, other: Stop, volume: number): void => {
    const known = kin.get(stop);
    if (known === undefined) kin.set(stop, [{ stop: other, volume }]);
    else known.push({ stop: other, volume });
  };
  for (const { from, to, volume } of legs) {
    tie(from, to, volume);
    tie(to, from, volume);
  }
  return kin;
}

function crossings(ranks: readonly (readonly Stop[])[], legs: readonly Leg[]): number {
  const place = new Map(ranks.flatMap((rank) => rank.map((stop, index) => [stop, index])));
  const at = (stop: Stop): number => place.get(stop) ?? 0;
  let count = 0;
  for (const [index, a] of legs.entries()) {
    for (const b of legs.slice(index + 1)) {
      if (a.from.rank === b.from.rank && (at(a.from) - at(b.from)) * (at(a.to) - at(b.to)) < 0) count += 1;
    }
  }
  return count;
}

const ROUNDS = 6;

/** Gives every stop its place across, as near to its kin as its neighbours let it; `size` is set before. */
export function settle(layout: LineageLayout, gap: number, extent: number): void {
  const kin = kinOf(layout.ribbons.flatMap(({ legs }) => legs));
  for (const rank of layout.ranks) {
    let at = 0;
    for (const stop of rank) {
      stop.at = at;
      at += stop.size + gap;
    }
  }
  const middle = (stop: Stop): number => stop.at + stop.size / 2;
  for (let turn = 0; turn < ROUNDS; turn += 1) {
    const down = turn % 2 === 0;
    const ranks = down ? layout.ranks : [...layout.ranks].reverse();
    for (const rank of ranks) {
      const wanted = rank.map((stop) => {
        // In the last turn both sides pull.
        const near = (kin.get(stop) ?? []).filter(
          ({ stop: other }) => turn === ROUNDS - 1 || (down ? other.rank < stop.rank : other.rank > stop.rank),
        );
        const weight = sumOf(near);
        if (weight === 0) return middle(stop);
        return near.reduce((sum, { stop: other, volume }) => sum + middle(other) * volume, 0) / weight;
      });
      place(rank, wanted, gap, extent);
    }
  }
}

/** Sets a rank's stops as near to where they are wanted as their order, sizes and the extent allow. */
function place(rank: readonly Stop[], wanted: readonly number[], gap: number, extent: number): void {
  let offset = 0;
  const blocks: { sum: number; weight: number; count: number }[] = [];
  const offsets: number[] = [];
  for (const [index, stop] of rank.entries()) {
    offsets.push(offset);
    const weight = 1 + stop.volume * 1e-9;
    let block = { sum: ((wanted[index] ?? 0) - stop.size / 2 - offset) * weight, weight, count: 1 };
    // Neighbours that would overlap are moved as one, to the middle of what they want.
    for (let before = blocks.at(-1); before !== undefined; before = blocks.at(-1)) {
      if (before.sum / before.weight < block.sum / block.weight) break;
      blocks.pop();
      block = { sum: before.sum + block.sum, weight: before.weight + block.weight, count: before.count + block.count };
    }
    blocks.push(block);
    offset += stop.size + gap;
  }
  const most = Math.max(0, extent - (offset - gap));
  let index = 0;
  for (const { sum, weight, count } of blocks) {
    const start = Math.min(most, Math.max(0, sum / weight));
    for (let member = 0; member < count; member += 1, index += 1) {
      const stop = rank[index];
      if (stop !== undefined) stop.at = start + (offsets[index] ?? 0);
    }
  }
}
