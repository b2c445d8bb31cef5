/** The corpus: good journals come to what is expected and give no finding; bad ones give exactly the findings beside them. */
import { describe, expect, test } from 'vitest';
import { CODES, type Code } from '../../grammar/codes.ts';
import { checkTexts } from '../../src/checks/check-journal.ts';
import { findingJson } from '../../src/report/findings-json.ts';
import { byHand } from './by-hand.ts';
import { type Case, cases, hold } from './cases.ts';
import { bookOf, summary } from './summary.ts';

const good = cases('good');
const bad = cases('bad');

const findingsOf = ({ files }: Case) => checkTexts(files).findings.map((finding) => findingJson(finding, files));

/** Bad cases with more than one cause. */
const MORE: Readonly<Record<string, number>> = {
  'cascades/dip-ends-the-doubt': 2,
  'files/prose': 2,
  'files/spreadsheet': 3,
};

/** Codes a journal alone cannot bring about: files and folders, sizes and a fault of the tool itself. */
const ELSEWHERE: ReadonlySet<Code> = new Set<Code>([
  'folder-unreadable',
  'file-unreadable',
  'file-not-utf8',
  'line-too-long',
  'lot-unbalanced',
]);

describe.each(good)('good: $name', ({ files, path }) => {
  const book = bookOf(files);

  test('gives no finding', () => {
    expect(book.findings.map((finding) => `${finding.where.line} ${finding.code} ${finding.message}`)).toEqual([]);
  });

  test('comes to what is expected', () => {
    const { held } = hold(path, '.expected.json', summary(book));
    expect(['as expected', 'written'], `see ${path}.changed`).toContain(held);
  });

  test('comes to what was worked out by hand', () => {
    const figures = byHand(files, book);
    expect(figures.map(({ said, is }) => `${said}: ${is}`)).toEqual(
      figures.map(({ said, expected }) => `${said}: ${expected}`),
    );
    expect(figures.length).toBeGreaterThan(0);
  });
});

describe.each(bad)('bad: $name', (one) => {
  const findings = findingsOf(one);

  test('gives exactly the findings beside it', () => {
    const { held } = hold(one.path, '.findings.json', findings);
    expect(['as expected', 'written'], `see ${one.path}.changed`).toContain(held);
  });

  test('gives one finding for one cause', () => {
    expect(findings.map((finding) => `${finding.line} ${finding.code} ${finding.message}`)).toHaveLength(
      MORE[one.name] ?? 1,
    );
  });

  test('every finding stands under something and says what to write instead', () => {
    for (const finding of findings) {
      const text = one.files.find((file) => file.path === finding.file)?.text.split(/\r?\n/)[finding.line - 1] ?? '';
      if (finding.line > 0) {
        expect(text.slice(finding.column - 1, finding.endColumn - 1).length).toBeGreaterThan(0);
        expect(finding.endColumn - 1).toBeLessThanOrEqual(text.length);
      }
      expect(finding.help ?? '').not.toBe('');
    }
  });
});

test('every code that a journal can bring about has a bad case', () => {
  const seen = new Set(bad.flatMap((one) => findingsOf(one).map((finding) => finding.code)));
  const missing = (Object.keys(CODES) as Code[]).filter((code) => !seen.has(code) && !ELSEWHERE.has(code));
  expect(missing).toEqual([]);
});
