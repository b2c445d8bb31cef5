/** The page on the tidy form shows what tidy does; the journals of the reference, the readme and the demo are tidy. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { PROSE } from '../../grammar/reference/generate.ts';
import { tidy } from '../../grammar/tidy.ts';
import { checkTexts } from '../../src/checks/check-journal.ts';
import { spellingOf } from '../../src/journal/spelling.ts';
import { fences, grammarFile } from '../reference/fences.ts';

const page = fences(grammarFile('reference/prose/the-tidy-form.md'));
const named = (words: string): string[] => page.filter((fence) => fence.words === words).map(({ text }) => text);

describe('the example of the page', () => {
  const [before = ''] = named('untidy');
  const [after = ''] = named('tidy');

  test('is tidied as it says', () => {
    expect(tidy(before, spellingOf([{ path: 'a.cellar', text: before }]))).toEqual({ text: after, left: 0 });
  });

  test('is read without a finding, before and after', () => {
    for (const text of [before, after]) expect(checkTexts([{ path: 'a.cellar', text }]).findings).toEqual([]);
  });

  test('is the only one', () => {
    expect(page).toHaveLength(2);
  });
});

describe('what is shown elsewhere is tidy', () => {
  const journals = [
    ...PROSE.map((name) => ({ name, markdown: grammarFile(`reference/prose/${name}.md`) })),
    { name: 'README.md', markdown: readFileSync(new URL('../../README.md', import.meta.url), 'utf8') },
  ].flatMap(({ name, markdown }) =>
    fences(markdown)
      .filter(({ words }) => words === '')
      .map(({ text }, i) => ({ name: `${name} ${i + 1}`, text })),
  );

  test.each(journals)('$name', ({ text }) => {
    expect(tidy(text, spellingOf([{ path: 'a.cellar', text }])).text).toBe(text);
  });
});
