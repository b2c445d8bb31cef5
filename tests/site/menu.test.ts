import { expect, test } from 'vitest';
import { menuOf } from '../../src/site/menu.ts';

test('a page marks its word, and its place among the pages of the word', () => {
  const menu = menuOf('barrels.html');
  expect(menu.words.filter(({ here }) => here !== undefined).map(({ text, here }) => [text, here])).toEqual([
    ['Vessels', 'true'],
  ]);
  expect(menu.beneath.map(({ text, here }) => [text, here])).toEqual([
    ['All vessels', undefined],
    ['Barrels', 'page'],
  ]);
});

test('a page beneath a page belongs to it', () => {
  expect(menuOf('vessels/fb-01.html').beneath[0]).toEqual({ text: 'All vessels', href: 'vessels.html', here: 'true' });
  expect(menuOf('months/2026-09.html').words.find(({ here }) => here !== undefined)?.text).toBe('Volumes');
  expect(menuOf('batches/kms-a-113.html').words.find(({ here }) => here !== undefined)?.text).toBe('Materials');
});

test('a word with one page has none beneath, and a page of no word marks none', () => {
  expect(menuOf('index.html').beneath).toEqual([]);
  expect(menuOf('elsewhere/x.html').words.every(({ here }) => here === undefined)).toBe(true);
});

test('the menu stays short', () => {
  expect(menuOf('index.html').words.length).toBeLessThanOrEqual(11);
});
