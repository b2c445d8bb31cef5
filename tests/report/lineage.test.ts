/** From block to bottle: what the drawing is given is the book's own volumes. */
import { describe, expect, test } from 'vitest';
import { familyOf, lineageOf } from '../../src/report/lineage.ts';
import { lineagePageModel, lineagePages } from '../../src/report/lineage-pages.ts';
import { contextFor, fermentingText, finishedText, present } from './small-cellar.ts';

const context = contextFor(finishedText());
const idOf = (name: string): number => context.book.lots.findIndex(({ facts }) => facts.name === name);
const all = new Set(context.book.lots.map(({ facts }) => facts.id));

describe('the lineage of a vintage', () => {
  const model = present(lineageOf(context, all, 'All', 'other lots'));
  const { nodes, flows, losses } = model.chart;
  const named = new Map(nodes.map(({ id, name }) => [id, name]));

  test('leads from the block by the must to the bottling, none before what it was made of', () => {
    expect(nodes.map(({ name, kind, text }) => [name, kind, text])).toEqual([
      ['ledge-2', 'block', '1500 kg'],
      ['LS', 'lot', '1340 L'],
      ['LS-free', 'lot', '800 L'],
      ['LS-p1', 'lot', '150 L'],
      ['26LS', 'bottling', '290 bottles'],
    ]);
    expect(flows.map(({ from, to, volume }) => [named.get(from), named.get(to), volume])).toEqual([
      ['ledge-2', 'LS', 1340],
      ['LS', 'LS-free', 800],
      ['LS', 'LS-p1', 150],
      ['LS-free', '26LS', 217.5],
    ]);
    expect(nodes.find(({ name }) => name === 'LS-free')?.href).toBe('lots/ls-free.html');
  });

  test('what left a lot is shown, and with what it gave and has it makes up all it got', () => {
    for (const lot of context.book.lots) {
      const id = `lot ${lot.facts.id}`;
      const sum = (parts: readonly { readonly volume: number }[]): number =>
        parts.reduce((total, { volume }) => total + volume, 0);
      const got = sum(flows.filter(({ to }) => to === id));
      const gave = sum(flows.filter(({ from }) => from === id));
      const gains = (lot.account.dipGains + Math.max(0, lot.account.settled)) / 1e6;
      expect(got + gains, lot.facts.name).toBeCloseTo(
        gave + sum(losses.filter(({ from }) => from === id)) + lot.onHand / 1e6,
        3,
      );
    }
    expect(losses.map(({ from, text }) => [named.get(from), text])).toContainEqual(['LS-free', 'lees 25 L']);
    expect(losses.map(({ from, text }) => [named.get(from), text])).toContainEqual(['26LS', 'sent 30 L']);
  });

  test('has tables of the same', () => {
    expect(model.flows.rows.length).toBe(4);
    expect(model.losses?.rows.map(({ cells }) => cells[0]?.figures[0]?.text)).toEqual(['LS', 'LS-free', '26LS']);
  });
});

test('fruit of two blocks in one must is divided by weight', () => {
  const two = contextFor(fermentingText());
  const { chart } = present(lineageOf(two, new Set([0]), 'LS', 'other lots'));
  // 1200 kg and 300 kg gave 1290 L.
  expect(chart.flows.map(({ from, volume }) => [from, volume])).toEqual([
    ['block ledge-2', 1032],
    ['block ledge-5', 258],
  ]);
  expect(chart.nodes.slice(0, 2).map(({ text }) => text)).toEqual(['1200 kg', '300 kg']);
});

test('a family is what a lot came from and became, and not its siblings', () => {
  expect([...familyOf(context, idOf('LS-free'))].sort()).toEqual([idOf('LS'), idOf('LS-free'), idOf('26LS')]);
  const { chart } = present(lineageOf(context, familyOf(context, idOf('LS-p1')), 'LS-p1', 'other lots'));
  expect(chart.nodes.map(({ name }) => name)).toEqual(['ledge-2', 'LS', 'LS-p1']);
  expect(chart.losses.map(({ text }) => text)).toContain('others 800 L');
});

test('a topping too small to be seen stands in the table, and the drawing says so', () => {
  const topped = contextFor(`${finishedText()}\n2027-08-01\n09:00 top K2 from T2 0.5 L\n`);
  const ids = new Set(topped.book.lots.map(({ facts }) => facts.id));
  const model = present(lineageOf(topped, ids, 'All', 'other lots'));
  expect(model.undrawn).toBe('A topping of 0.5 L stands in the table only.');
  expect(model.flows.rows.length).toBe(model.chart.flows.length + 1);
});

test('wine found and wine bought in have a source of their own', () => {
  const found = contextFor(`vessel T1..T2 tank 1200 L
2026-09-01
08:00 found T1 500 L as OLD, variety Syrah, vintage 2025
09:00 bring to T2 300 L as STRANGE, variety Grenache, vintage 2025, from "a neighbour"
`);
  const ids = new Set(found.book.lots.map(({ facts }) => facts.id));
  const model = present(lineageOf(found, ids, 'All', 'other lots'));
  expect(model.chart.flows.map(({ from, volume }) => [from, volume])).toEqual([
    ['found', 500],
    ['bought', 300],
  ]);
});

describe('its pages', () => {
  test('are one where there is one vintage, and it says nothing of others', () => {
    const pages = lineagePages(context);
    expect(pages.map(({ path, title }) => [path, title])).toEqual([['lineage.html', 'From block to bottle']]);
    const model = lineagePageModel(context, present(pages[0]), pages);
    expect(model.lead).toMatch(/^3 lots and 1 bottling/u);
  });

  test('are all together and one a vintage where it fits; where it does not, the newest stands first', () => {
    const vintages = (years: number) =>
      contextFor(
        `vessel T1..T${years * 10} tank 1200 L\n2026-09-01\n${Array.from({ length: years * 10 }, (_, index) => `08:00 found T${index + 1} 100 L as L${index}, variety Syrah, vintage ${2026 - Math.floor(index / 10)}`).join('\n')}\n`,
      );
    expect(lineagePages(vintages(2)).map(({ path }) => path)).toEqual([
      'lineage.html',
      'lineage/2026.html',
      'lineage/2025.html',
    ]);
    const many = lineagePages(vintages(7));
    expect(many.map(({ path, lots }) => [path, lots.size]).slice(0, 2)).toEqual([
      ['lineage.html', 10],
      ['lineage/2025.html', 10],
    ]);
  });

  test('of a cellar without wine say so', () => {
    const empty = contextFor('vessel T1 tank 100 L\n2026-09-01\n09:00 note T1 -- swept\n');
    const pages = lineagePages(empty);
    expect(lineagePageModel(empty, present(pages[0]), pages).lineage).toBeUndefined();
  });
});
