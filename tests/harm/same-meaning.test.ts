/** What a file looks like does not change what it says: line breaks, byte order marks, cuts into files. */
import { describe, expect, test } from 'vitest';
import type { SourceFile } from '../../src/journal/files.ts';
import { cases } from '../corpus/cases.ts';
import { bookOf, summary } from '../corpus/summary.ts';

const single = [...cases('good'), ...cases('bad')].flatMap(({ name, files }) => {
  const [file, more] = files;
  return file === undefined || more !== undefined
    ? []
    : [{ name, text: file.text.replace(/^\ufeff/, '').replace(/\r\n/g, '\n') }];
});

const comesTo = (files: readonly SourceFile[]) => summary(bookOf(files));
const plain = (text: string) => comesTo([{ path: 'a.cellar', text }]);

describe.each(single)('$name', ({ text }) => {
  test('with carriage returns', () => {
    expect(plain(text.replace(/\n/g, '\r\n'))).toEqual(plain(text));
  });

  test('with a byte order mark', () => {
    expect(plain(`\ufeff${text}`)).toEqual(plain(text));
  });

  test('without the last line break, and with many', () => {
    const trimmed = text.replace(/\n+$/, '');
    expect(plain(trimmed)).toEqual(plain(text));
    expect(plain(`${trimmed}\n\n\n`)).toEqual(plain(text));
  });

  test('with blanks at the ends of lines', () => {
    expect(plain(text.replace(/([^,\s])\n/g, '$1  \n'))).toEqual(plain(text));
  });
});

/** A journal as several files: what stands above the first day, then a file a day. */
function byDay(text: string): SourceFile[] {
  const days = text.split(/^(?=\d{4}-\d\d-\d\d)/m);
  return days.map((part, i) => ({ path: `${String(i).padStart(3, '0')}.cellar`, text: part }));
}

describe.each(cases('good').filter(({ files }) => files.length === 1))('$name, a file a day', ({ files }) => {
  const text = files[0]?.text ?? '';

  test('comes to the same', () => {
    expect(comesTo(byDay(text))).toEqual(comesTo(files));
  });

  test('comes to the same in any order of files, as long as a day stays in one', () => {
    const parts = byDay(text);
    const turned = parts.map((part, i) => ({ ...part, path: `${String(999 - i).padStart(3, '0')}.cellar` })).reverse();
    const dates = parts.slice(1).map((part) => part.text.slice(0, 10));
    if (new Set(dates).size < dates.length || /^\s*vessel/m.test(parts.slice(1).join(''))) return;
    expect(comesTo(turned).vessels).toEqual(comesTo(files).vessels);
  });
});
