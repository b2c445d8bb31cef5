/** Every example of the reference and of the readme is read and checked as a journal. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { FRAMES } from '../../grammar/frames.ts';
import { LineCursor } from '../../grammar/lines.ts';
import { readLine } from '../../grammar/read.ts';
import { PROSE } from '../../grammar/reference/generate.ts';
import { STAGES, VERBS_BY_STAGE } from '../../grammar/words.ts';
import { checkTexts } from '../../src/checks/check-journal.ts';
import { fences, grammarFile } from './fences.ts';
import { journalFor } from './verb-journals.ts';

const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');

describe('journals in the prose', () => {
  const examples = [
    ...PROSE.map((name) => ({ name, markdown: grammarFile(`reference/prose/${name}.md`) })),
    { name: 'README.md', markdown: readme },
  ].flatMap(({ name, markdown }) => fences(markdown).map((fence, i) => ({ name: `${name} ${i + 1}`, fence })));

  test.each(examples.filter(({ fence }) => fence.words === ''))('$name checks without a finding', ({ fence }) => {
    const { findings } = checkTexts([{ path: 'journal.cellar', text: fence.text }]);
    expect(findings.map((finding) => `${finding.code} ${finding.where.line} ${finding.message}`)).toEqual([]);
  });

  test.each(examples.filter(({ fence }) => fence.words === 'lines'))('$name reads line by line', ({ fence }) => {
    const cursor = new LineCursor(fence.text);
    while (cursor.advance()) {
      if (cursor.note) continue;
      const { line, problems } = readLine(fence.text.slice(cursor.start, cursor.end));
      expect({ type: line.type, problems }).toEqual({ type: 'entry', problems: [] });
    }
  });
});

describe('examples of the verbs', () => {
  const examples = STAGES.flatMap((stage) =>
    VERBS_BY_STAGE[stage].flatMap((verb) => FRAMES[verb].examples.map((example) => ({ verb, example }))),
  );

  test.each(examples)('$example', ({ verb, example }) => {
    const { text, line } = journalFor(verb, example);
    const { findings } = checkTexts([{ path: 'journal.cellar', text }]);
    const errors = findings.filter((finding) => finding.severity === 'error' || finding.where.line === line);
    expect(
      errors.map((finding) => `${finding.code} ${finding.where.line} ${finding.message}`),
      text,
    ).toEqual([]);
  });
});
