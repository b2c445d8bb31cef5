/** From block to bottle: what became of what, in ribbons as wide as the volume that went; what left ends in a point. */
import type { Lineage } from '../report/charted.ts';
import { counted, nameList } from '../report/names.ts';
import { spread } from './axis.ts';
import { BOLD, figure, NAME_SIZE, shorten, TICK_SIZE, widthOf } from './labels.ts';
import { type Box, type LineageLayout, type Ribbon, rankedLineage, type Stop, settle } from './lineage-layout.ts';
import { element, type Frame, hint, isWide, linked, linkedDrawing, round, text } from './svg.ts';

/** Ranks that stand side by side on a desk; more stand beneath each other, as on a phone. */
const MOST_COLUMNS = 6;
const BAR = 9;
const LINE = 14;
/** Half a stroke, so that nothing is cut. */
const EDGE = 1;
/** All of the widest rank together, where ranks stand side by side. */
const LEAST_WIDTH = 240;
/** Nothing is drawn thinner, however little it is. */
const THINNEST = 1.5;

export function lineage(data: Lineage, frame: Frame): string {
  const wide = isWide(frame);
  const beside = rankedLineage(data, { boxes: 14, losses: 2 });
  const layout =
    wide && beside.ranks.length <= MOST_COLUMNS ? beside : rankedLineage(data, { boxes: wide ? 14 : 9, losses: 1 });
  const drawn = layout === beside ? across(layout, data, frame) : downward(layout, data, frame);
  const { count, volume } = layout.undrawn;
  const rest =
    count === 0
      ? ''
      : text(`and ${counted(count, 'smaller flow')} of ${figure(volume)} ${data.unit} in all`, {
          class: 'tick',
          x: 0,
          y: drawn.height + 14,
        });
  return linkedDrawing(frame, drawn.height + (count === 0 ? 4 : 20), data.title, describe(data), ...drawn.parts, rest);
}

interface Drawn {
  readonly parts: readonly string[];
  readonly height: number;
}

/** How much a volume is wide: all of a rank together take `room`. */
function scaleOf({ ranks }: LineageLayout, room: (rank: readonly Stop[]) => number): (volume: number) => number {
  const factors = ranks.flatMap((rank) => {
    const total = rank.reduce((sum, { volume }) => sum + volume, 0);
    return total > 0 ? [room(rank) / total] : [];
  });
  const factor = factors.length === 0 ? 0 : Math.min(...factors);
  return (volume) => Math.max(THINNEST, volume * factor);
}

/** Where the ribbons of each stop begin and end within its bar, in the order of where they lead. */
interface Ports {
  readonly start: ReadonlyMap<object, number>;
  readonly end: ReadonlyMap<object, number>;
}

function portsOf({ ribbons }: LineageLayout, barAt: (stop: Stop) => number, width: (volume: number) => number): Ports {
  const legs = ribbons.flatMap((ribbon) => ribbon.legs);
  const middle = (stop: Stop): number => stop.at + stop.size / 2;
  const start = new Map<object, number>();
  const end = new Map<object, number>();
  const used = new Map<Stop, { out: number; in: number }>();
  const take = (stop: Stop, way: 'in' | 'out', size: number): number => {
    const already = used.get(stop) ?? { out: 0, in: 0 };
    used.set(stop, { ...already, [way]: already[way] + size });
    return barAt(stop) + already[way];
  };
  for (const leg of [...legs].sort((a, b) => middle(a.to) - middle(b.to))) {
    start.set(leg, take(leg.from, 'out', width(leg.volume)));
  }
  for (const leg of [...legs].sort((a, b) => middle(a.from) - middle(b.from))) {
    end.set(leg, take(leg.to, 'in', width(leg.volume)));
  }
  return { start, end };
}

/** A point along and across the ranks as the drawing has it. */
type Place = (along: number, cross: number) => string;

interface Ranks {
  /** Where the bars of a rank begin, and where they end. */
  readonly begin: (rank: number) => number;
  readonly end: (rank: number) => number;
}

/** A ribbon through all its legs: one edge there, the other back. */
function ribbonPath({ legs, volume }: Ribbon, ports: Ports, ranks: Ranks, width: number, place: Place): string {
  const sides = legs.map((leg) => ({
    from: ranks.end(leg.from.rank),
    to: ranks.begin(leg.to.rank),
    a: ports.start.get(leg) ?? 0,
    b: ports.end.get(leg) ?? 0,
    past: leg.to.box === undefined ? ranks.end(leg.to.rank) : undefined,
  }));
  const there: string[] = [];
  const back: string[] = [];
  for (const [index, { from, to, a, b, past }] of sides.entries()) {
    const middle = (from + to) / 2;
    there.push(`${index === 0 ? `M${place(from, a)}` : ''}C${place(middle, a)} ${place(middle, b)} ${place(to, b)}`);
    if (past !== undefined) there.push(`L${place(past, b)}`);
    const [c, d] = [a + width, b + width];
    back.unshift(
      `${past === undefined ? '' : `L${place(to, d)}`}C${place(middle, d)} ${place(middle, c)} ${place(from, c)}`,
    );
    if (index === sides.length - 1) back.unshift(`L${place(to, d)}`);
  }
  return volume > 0 ? `${there.join('')}${back.join('')}Z` : '';
}

function ribbonsOf(
  layout: LineageLayout,
  data: Lineage,
  ports: Ports,
  ranks: Ranks,
  width: (volume: number) => number,
  place: Place,
): string {
  return layout.ribbons
    .map((ribbon) =>
      element(
        'path',
        {
          class: ribbon.from.grown ? 'ribbon grown' : 'ribbon',
          d: ribbonPath(ribbon, ports, ranks, width(ribbon.volume), place),
        },
        hint(`${ribbon.from.name} → ${ribbon.to.name}: ${figure(ribbon.volume)} ${data.unit}`),
      ),
    )
    .join('');
}

function hintOf({ name, text, losses, folded }: Box): string {
  const lost = losses.map((loss) => loss.text);
  return [`${name} ${text}`, ...lost, ...(folded.length === 0 ? [] : [nameList(folded)])].join('; ');
}

/** Ranks side by side, from left to right. */
function across(layout: LineageLayout, data: Lineage, frame: Frame): Drawn {
  const pitch = (frame.width - EDGE) / Math.max(1, layout.ranks.length);
  const room = pitch - BAR - 9;
  const linesOf = (stop: Stop): number => (stop.box === undefined ? 0 : 2 + stop.box.losses.length);
  const words = layout.ranks.map((rank) => rank.reduce((sum, stop) => sum + linesOf(stop) * LINE, 0));
  // Where words make a rank tall, the ribbons may be wide in the same measure.
  const width = scaleOf(layout, () => Math.max(LEAST_WIDTH, 0.5 * Math.max(0, ...words)));
  for (const stop of layout.ranks.flat()) stop.size = Math.max(width(stop.volume), linesOf(stop) * LINE);
  const gap = 10;
  const total = (rank: readonly Stop[]): number => rank.reduce((sum, { size }) => sum + size + gap, -gap);
  const height = Math.max(LINE, ...layout.ranks.map(total));
  settle(layout, gap, height);

  const top = 4;
  const barAt = (stop: Stop): number => top + stop.at + (stop.size - width(stop.volume)) / 2;
  const ports = portsOf(layout, barAt, width);
  const ranks: Ranks = { begin: (rank) => EDGE + rank * pitch, end: (rank) => EDGE + rank * pitch + BAR };
  const boxes = layout.ranks.flat().flatMap((stop) => {
    const { box } = stop;
    if (box === undefined) return [];
    const x = ranks.begin(stop.rank);
    const y = barAt(stop);
    const thick = width(box.volume);
    const words = top + stop.at + (stop.size - linesOf(stop) * LINE) / 2;
    const side = x + BAR + 6;
    let lost = y + lossesAt(box, width);
    const parts = box.losses.map((loss) => {
      const from = lost;
      lost += width(loss.volume);
      return { text: loss.text, from, to: lost };
    });
    const tips = spread(
      parts.map(({ from, to }) => (from + to) / 2 + 5),
      LINE,
      words + 2 * LINE + 7,
      top + stop.at + stop.size + 5,
    );
    const ends = parts.map((loss, index) => {
      const tip = tips[index] ?? loss.to;
      const said = shorten(loss.text, room - 14, TICK_SIZE);
      return (
        element('path', { class: 'lost', d: taper(x + BAR, loss.from, loss.to, x + BAR + 16, tip) }) +
        text(said, { class: 'tick halo', x: side + 14, y: tip + 4 })
      );
    });
    return [
      element('rect', { class: `node ${box.kind}`, x, y, width: BAR, height: thick }, hint(hintOf(box))) +
        ends.join('') +
        linked(box.href, frame, text(shorten(box.name, room / BOLD), { class: 'who halo', x: side, y: words + 11 })) +
        text(shorten(box.text, room, TICK_SIZE), { class: 'tick halo', x: side, y: words + LINE + 11 }),
    ];
  });
  return {
    parts: [
      ribbonsOf(layout, data, ports, ranks, width, (along, cross) => `${round(along)},${round(cross)}`),
      ...boxes,
    ],
    height: top + height + 8,
  };
}

/** What leaves: from the bar's edge to a point. */
function taper(x: number, from: number, to: number, tipX: number, tipY: number): string {
  const middle = (x + tipX) / 2;
  return `M${round(x)},${round(from)}C${round(middle)},${round(from)} ${round(middle)},${round(tipY)} ${round(tipX)},${round(tipY)}C${round(middle)},${round(tipY)} ${round(middle)},${round(to)} ${round(x)},${round(to)}Z`;
}

/** A text under a rank with the leader that ties it to its bar. */
interface Label {
  readonly at: number;
  readonly left: number;
  readonly width: number;
  readonly draw: (x: number, y: number) => string;
}

/** Ranks beneath each other, from top to bottom; what stands under a bar is led to it. */
function downward(layout: LineageLayout, data: Lineage, frame: Frame): Drawn {
  const gap = isWide(frame) ? 12 : 8;
  const width = scaleOf(layout, (rank) => frame.width - 2 * EDGE - (rank.length - 1) * gap - rank.length * THINNEST);
  for (const stop of layout.ranks.flat()) stop.size = width(stop.volume);
  settle(layout, gap, frame.width - 2 * EDGE);
  const barAt = (stop: Stop): number => EDGE + stop.at;
  const ports = portsOf(layout, barAt, width);

  const begins: number[] = [];
  const parts: string[] = [];
  let top = 4;
  for (const [rank, stops] of layout.ranks.entries()) {
    begins.push(top);
    const boxes = stops.flatMap((stop) => (stop.box === undefined ? [] : [{ stop, box: stop.box }]));
    const labels = boxes.flatMap(({ stop, box }) => labelsOf(box, barAt(stop), width, frame));
    const lines = lined(labels);
    const foot = top + BAR;
    parts.push(
      ...labels.map(({ at }, index) =>
        element('line', { class: 'lead', x1: at, x2: at, y1: foot, y2: foot + 4 + (lines[index] ?? 0) * LINE + 3 }),
      ),
      ...boxes.map(({ stop, box }) => {
        let lost = barAt(stop) + lossesAt(box, width);
        const ends = box.losses.map((loss) => {
          const from = lost;
          lost += width(loss.volume);
          const middle = round((from + lost) / 2);
          return element('path', {
            class: 'lost',
            d: `M${round(from)},${round(foot)}L${middle},${round(foot + 13)}L${round(lost)},${round(foot)}Z`,
          });
        });
        return (
          element(
            'rect',
            { class: `node ${box.kind}`, x: barAt(stop), y: top, width: width(box.volume), height: BAR },
            hint(hintOf(box)),
          ) + ends.join('')
        );
      }),
      ...labels.map(({ draw, left }, index) => draw(left, foot + 16 + (lines[index] ?? 0) * LINE)),
    );
    const deep = lines.length === 0 ? 0 : Math.max(...lines) + 1;
    top = foot + 8 + deep * LINE + (rank === layout.ranks.length - 1 ? 0 : 46);
  }
  const ranks: Ranks = { begin: (rank) => begins[rank] ?? 0, end: (rank) => (begins[rank] ?? 0) + BAR };
  return {
    parts: [
      ribbonsOf(layout, data, ports, ranks, width, (along, cross) => `${round(cross)},${round(along)}`),
      ...parts,
    ],
    height: top,
  };
}

/** Where in its bar what left begins: it takes the end, after what went on and what is still there. */
function lossesAt({ volume, losses }: Box, width: (volume: number) => number): number {
  return Math.max(0, width(volume) - losses.reduce((sum, loss) => sum + width(loss.volume), 0));
}

function labelsOf(box: Box, at: number, width: (volume: number) => number, frame: Frame): Label[] {
  const most = frame.width * 0.8;
  // A long name gives way to what there is of it.
  const name = shorten(box.name, most / BOLD - widthOf(` ${box.text}`), NAME_SIZE);
  const said = shorten(`${name} ${box.text}`, most / BOLD, NAME_SIZE);
  const kept = lossesAt(box, width);
  const own = label(at + Math.max(2, kept) / 2, widthOf(said) * BOLD, frame, (x, y) =>
    linked(box.href, frame, text(said, { class: 'who halo', x, y })),
  );
  let lost = at + kept;
  const losses = box.losses.map((loss) => {
    const middle = lost + width(loss.volume) / 2;
    lost += width(loss.volume);
    const words = shorten(loss.text, most, TICK_SIZE);
    return label(middle, widthOf(words, TICK_SIZE), frame, (x, y) => text(words, { class: 'tick halo', x, y }));
  });
  return [own, ...losses];
}

function label(at: number, width: number, frame: Frame, draw: Label['draw']): Label {
  return { at, width, left: Math.max(0, Math.min(at - 4, frame.width - width)), draw };
}

/** On which line each label stands, so that none is on another and as few leaders as can be run through one. */
function lined(labels: readonly Label[]): number[] {
  const byPlace = labels.map((_, index) => index).sort((a, b) => (labels[a]?.at ?? 0) - (labels[b]?.at ?? 0) || a - b);
  const tries = [[...byPlace].reverse(), byPlace].map((order) => linedBy(labels, order));
  return tries.sort((a, b) => a.cost - b.cost)[0]?.lines ?? [];
}

function linedBy(
  labels: readonly Label[],
  order: readonly number[],
): { readonly lines: number[]; readonly cost: number } {
  const lines = new Array<number>(labels.length).fill(0);
  const placed: number[] = [];
  let cost = 0;
  for (const index of order) {
    const own = labels[index];
    if (own === undefined) continue;
    let best = { line: 0, cost: Number.POSITIVE_INFINITY };
    for (let line = 0; line <= placed.length; line += 1) {
      let faults = 0;
      for (const other of placed) {
        const that = labels[other];
        const at = lines[other] ?? 0;
        if (that === undefined) continue;
        if (at === line && own.left < that.left + that.width + 6 && that.left < own.left + own.width + 6) faults += 100;
        if (at < line && own.at > that.left - 3 && own.at < that.left + that.width + 3) faults += 1;
        if (at > line && that.at > own.left - 3 && that.at < own.left + own.width + 3) faults += 1;
      }
      const price = faults * 3 + line;
      if (price < best.cost) best = { line, cost: price };
    }
    lines[index] = best.line;
    placed.push(index);
    cost += best.cost;
  }
  return { lines, cost };
}

function describe(data: Lineage): string {
  const kinds = [
    ['block', 'block'],
    ['lot', 'lot'],
    ['bottling', 'bottling'],
  ] as const;
  const counts = kinds.flatMap(([kind, word]) => {
    const found = data.nodes.filter((node) => node.kind === kind).length;
    return found === 0 ? [] : [counted(found, word)];
  });
  const last = data.nodes.filter(({ id }) => !data.flows.some(({ from }) => from === id)).slice(0, 6);
  const ends = last.map(({ name, text }) => `${name} ${text}`).join('; ');
  const lost = data.losses.reduce((sum, { volume }) => sum + volume, 0);
  return (
    `${counts.length === 0 ? 'Nothing' : counts.join(', ')}, ${counted(data.flows.length, 'flow')}.` +
    `${ends === '' ? '' : ` At the end: ${ends}.`}${lost > 0 ? ` Gone on the way: ${figure(lost)} ${data.unit}.` : ''}`
  );
}
