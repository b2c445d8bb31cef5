import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { lineage } from '../../src/charts/lineage.ts';
import { type LineageLayout, rankedLineage, settle } from '../../src/charts/lineage-layout.ts';
import type { Lineage, LineageNode } from '../../src/report/charted.ts';
import { FRAMES, lineageOf, NARROW, ODD_NAMES, WIDE } from './samples.ts';
import { expectApart, expectDrawing, expectGoodSvg } from './snapshot.ts';

const lot = (id: string, volume = 100): LineageNode => ({
  id,
  kind: 'lot',
  name: id.toUpperCase(),
  text: `${volume} L`,
  volume,
});
const lots = (...ids: string[]): LineageNode[] => ids.map((id) => lot(id));
const plain = (data: Partial<Lineage>): Lineage => ({
  title: 'From block to bottle',
  unit: 'L',
  nodes: [],
  flows: [],
  losses: [],
  ...data,
});
const names = ({ ranks }: LineageLayout): string[][] =>
  ranks.map((rank) => rank.map(({ box }) => box?.name ?? '·').sort());

describe('the lineage', () => {
  test.each([
    ['lineage', WIDE, lineageOf(5, 8, 3)],
    ['lineage-phone', NARROW, lineageOf(5, 8, 3)],
    ['lineage-forty', WIDE, lineageOf(22, 24, 4)],
    ['lineage-forty-phone', NARROW, lineageOf(22, 24, 4)],
    ['lineage-deep', WIDE, lineageOf(5, 16, 8)],
  ] as const)('%s looks as it did', (name, frame, data) => {
    const svg = lineage(data, frame);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing(name, svg);
  });

  test('ribbons are as wide as their volumes', () => {
    const svg = lineage(
      plain({
        nodes: lots('a', 'b', 'c'),
        flows: [
          { from: 'a', to: 'b', volume: 75 },
          { from: 'a', to: 'c', volume: 25 },
        ],
      }),
      WIDE,
    );
    const widths = [...svg.matchAll(/class="ribbon" d="M[0-9.]+,([0-9.]+)C[^"]*?([0-9.]+)Z"/gu)].map(
      ([, from, to]) => Number(to) - Number(from),
    );
    expect(widths.length).toBe(2);
    expect((widths[0] ?? 0) / (widths[1] ?? 1)).toBeCloseTo(3, 1);
  });

  test('each node leads where it is told, and says what there was', () => {
    const data = lineageOf(3, 4, 2);
    const svg = lineage(data, { ...WIDE, to: (href) => `../${href}` });
    for (const { name, text, href } of data.nodes) {
      expect(svg).toContain(`<a href="../${href}"><text`);
      expect(svg).toContain(`>${name}<`);
      expect(svg).toContain(`>${text}<`);
    }
  });

  test('what left ends in a point and is told', () => {
    const svg = lineage(plain({ nodes: lots('a'), losses: [{ from: 'a', volume: 12, text: 'lees 12 L' }] }), NARROW);
    expect(svg.match(/class="lost"/gu)?.length).toBe(1);
    expect(svg).toContain('>lees 12 L<');
    expect(svg).toContain('Gone on the way: 12 L.');
  });

  test('of many losses the greatest is told, where there is room for two, and the rest as one', () => {
    const losses = [5, 30, 1.26].map((volume) => ({ from: 'a', volume, text: `loss ${volume} L` }));
    const data = plain({ nodes: lots('a'), losses });
    expect(lineage(data, WIDE)).toContain('>loss 30 L<');
    expect(lineage(data, WIDE)).toContain('>2 more 6.3 L<');
    expect(lineage(data, NARROW)).toContain('>gone 36 L<');
  });

  test('ranks follow the order of becoming; what was made of nothing stands before what it became', () => {
    const layout = rankedLineage(
      plain({
        nodes: lots('a', 'b', 'c', 'd', 'late'),
        flows: [
          { from: 'a', to: 'b', volume: 1 },
          { from: 'b', to: 'c', volume: 1 },
          { from: 'a', to: 'd', volume: 1 },
          { from: 'c', to: 'd', volume: 1 },
          { from: 'late', to: 'd', volume: 1 },
        ].map((flow) => (flow.from === 'late' ? { ...flow, from: 'c', to: 'late' } : flow)),
      }),
      { boxes: 10, losses: 2 },
    );
    expect(names(layout)).toEqual([['A'], ['B', '·'], ['C', '·'], ['D', 'LATE']]);
    const bought = rankedLineage(
      plain({
        nodes: lots('a', 'b', 'c', 'bought', 'd'),
        flows: [
          { from: 'a', to: 'b', volume: 1 },
          { from: 'b', to: 'c', volume: 1 },
          { from: 'c', to: 'd', volume: 1 },
          { from: 'bought', to: 'd', volume: 1 },
        ],
      }),
      { boxes: 10, losses: 2 },
    );
    expect(names(bought)).toEqual([['A'], ['B'], ['BOUGHT', 'C'], ['D']]);
  });

  test('what went back to an older lot is told as what left, and turns nothing round', () => {
    const data = plain({
      nodes: lots('a', 'b'),
      flows: [
        { from: 'a', to: 'b', volume: 60 },
        { from: 'b', to: 'a', volume: 20 },
        { from: 'a', to: 'a', volume: 5 },
        { from: 'a', to: 'nobody', volume: 5 },
      ],
    });
    expect(names(rankedLineage(data, { boxes: 10, losses: 2 }))).toEqual([['A'], ['B']]);
    for (const frame of FRAMES) {
      const svg = lineage(data, frame);
      expectGoodSvg(svg);
      expect(svg).toContain('>20 L back to A<');
    }
  });

  test('the smallest of a crowded rank are folded into one, and nothing of their volume is lost', () => {
    const data = lineageOf(30, 6, 2);
    const whole = rankedLineage(data, { boxes: 100, losses: 2 });
    const folded = rankedLineage(data, { boxes: 8, losses: 2 });
    expect(folded.ranks[0]?.length).toBe(8);
    expect(names(folded)[0]).toContain('23 more');
    const total = ({ ribbons }: LineageLayout): number => ribbons.reduce((sum, { volume }) => sum + volume, 0);
    expect(total(folded)).toBe(total(whole));
    const more = folded.ranks[0]?.find(({ box }) => box?.kind === 'more')?.box;
    expect(more?.folded.length).toBe(23);
    for (const kept of folded.ranks[0] ?? []) {
      if (kept.box?.kind !== 'more') expect(kept.volume).toBeGreaterThanOrEqual(500);
    }
    expect(more?.text.replace('\u202F', '')).toBe(`${more?.volume} L`);
  });

  test('places keep their order and their distance within the extent', () => {
    const layout = rankedLineage(lineageOf(12, 12, 4), { boxes: 20, losses: 2 });
    for (const stop of layout.ranks.flat()) stop.size = 10;
    settle(layout, 4, 400);
    for (const rank of layout.ranks) {
      for (const [index, stop] of rank.entries()) {
        const before = rank[index - 1];
        if (before !== undefined) expect(stop.at).toBeGreaterThanOrEqual(before.at + 14 - 1e-6);
        expect(stop.at).toBeGreaterThanOrEqual(0);
        expect(stop.at + stop.size).toBeLessThanOrEqual(400 + 1e-6);
      }
    }
  });

  test('crossings that an order avoids are avoided', () => {
    const layout = rankedLineage(
      plain({
        nodes: lots('a', 'b', 'c', 'x', 'y', 'z'),
        flows: [
          { from: 'a', to: 'z', volume: 1 },
          { from: 'b', to: 'y', volume: 1 },
          { from: 'c', to: 'x', volume: 1 },
        ],
      }),
      { boxes: 10, losses: 2 },
    );
    const place = layout.ranks.map((rank) => rank.map(({ box }) => box?.id));
    expect(place[0]?.map((id) => ({ a: 'z', b: 'y', c: 'x' })[id ?? ''])).toEqual(place[1]);
  });

  test('more flows than anybody can follow are counted, the smallest first', () => {
    const parents = Array.from({ length: 20 }, (_, index) => `p${index}`);
    const children = Array.from({ length: 10 }, (_, index) => `c${index}`);
    const data = plain({
      nodes: lots(...parents, ...children),
      flows: parents.flatMap((from, a) => children.map((to, b) => ({ from, to, volume: 1 + a * 10 + b }))),
    });
    const layout = rankedLineage(data, { boxes: 100, losses: 2 });
    expect(layout.undrawn).toEqual({ count: 50, volume: (50 * 51) / 2 });
    expect(lineage(data, WIDE)).toContain('and 50 smaller flows of 1275 L in all');
  });

  test('nothing, tiny beside great, and odd names make no fault', () => {
    const six = lineageOf(6, 8, 3);
    const named = { ...six, nodes: six.nodes.map((node, index) => ({ ...node, name: ODD_NAMES[index % 6] ?? '' })) };
    const uneven = plain({
      nodes: [lot('a', 9e8), lot('b', 1e-6), lot('c', 0)],
      flows: [
        { from: 'a', to: 'c', volume: 9e8 },
        { from: 'b', to: 'c', volume: 1e-6 },
      ],
      losses: [1, 2, 3, 4].map((index) => ({ from: 'c', volume: 1e-6 * index, text: `loss ${index}` })),
    });
    for (const frame of FRAMES) {
      for (const data of [plain({}), plain({ nodes: lots('a') }), named, uneven, lineageOf(60, 60, 12)]) {
        expectGoodSvg(lineage(data, frame));
      }
    }
  });

  test('whatever flows where, it is drawn whole, the same twice, with each node once', () => {
    const flow = fc.record({
      from: fc.integer({ min: 0, max: 13 }).map((index) => `n${index}`),
      to: fc.integer({ min: 0, max: 13 }).map((index) => `n${index}`),
      volume: fc.double({ min: -1, max: 5000, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 12 }), fc.array(flow, { maxLength: 30 }), (count, flows) => {
        const nodes = lots(...Array.from({ length: count }, (_, index) => `n${index}`));
        const data = plain({ nodes, flows });
        for (const frame of FRAMES) {
          const svg = lineage(data, frame);
          expectGoodSvg(svg);
          expect(lineage(data, frame)).toBe(svg);
        }
        const boxes = rankedLineage(data, { boxes: 100, losses: 2 })
          .ranks.flat()
          .filter(({ box }) => box !== undefined);
        expect(boxes.length).toBe(count);
      }),
      { numRuns: 60 },
    );
  });
});
