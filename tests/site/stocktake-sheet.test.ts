/** The sheet of a stocktake: names of a journal are text in it, whatever they say, and nothing is loaded from elsewhere. */
import { expect, test } from 'vitest';
import { stocktakeSheet } from '../../src/site/stocktake-sheet.ts';
import { contextFrom } from '../report/told.ts';

const TEMPLATES = `${import.meta.dirname}/../../templates`;
const HOSTILE = '<img src=x onerror=alert(1)>';

test('a hostile name stays text', async () => {
  const context = contextFrom(`cellar "${HOSTILE}"
vessel T1 tank 1200 L
block ledge-2 Syrah
2026-06-01 Mon
09:00 found T1 800 L as "${HOSTILE}" of ledge-2, vintage 2025
`);
  const html = await stocktakeSheet(context, false, TEMPLATES);
  expect(html).toContain('&lt;img src=x onerror=alert(1)&gt;');
  expect(html).not.toContain('<img');
  expect(html).not.toMatch(/<script|style=|href=|https?:/u);
});

test('a cellar with nothing in it says so, and the cautions stand all the same', async () => {
  const html = await stocktakeSheet(contextFrom('vessel T1 tank 1200 L\n'), true, TEMPLATES);
  expect(html).toContain('nothing that could be counted');
  expect(html).toContain('Should hold nothing');
  expect(html).toContain('confined space');
});

test('the same book gives the same bytes', async () => {
  const make = () => stocktakeSheet(contextFrom('vessel T1 tank 1200 L\n'), false, TEMPLATES);
  expect(await make()).toBe(await make());
});
