/** Every code has a page, and each page's journals give what it says they give. */
import { describe, expect, test } from 'vitest';
import { CODES, type Code } from '../../grammar/codes.ts';
import { checkTexts } from '../../src/checks/check-journal.ts';
import { fences, grammarFile, grammarFolder } from './fences.ts';

/** Codes whose cause can't be shown as the text of a journal: files, bytes, and a fault of the tool itself. */
const TOLD_IN_WORDS: ReadonlySet<string> = new Set<Code>([
  'folder-unreadable',
  'file-unreadable',
  'file-not-utf8',
  'journal-empty',
  'line-too-long',
  'binary-bytes',
  'lot-unbalanced',
]);

const codes = Object.keys(CODES) as Code[];

const section = (page: string, title: string): string => page.split(`\n## ${title}\n`)[1]?.split('\n## ')[0] ?? '';

/** The journal of a section; fences with a file name are files of one journal. */
const filesOf = (markdown: string): { path: string; text: string }[] =>
  fences(markdown).map((fence) => ({ path: fence.words || 'journal.cellar', text: fence.text }));

/** What the journal of a section gives. */
function told(markdown: string): { code: Code; severity: string; line: string }[] {
  const files = filesOf(markdown);
  return checkTexts(files).findings.map((finding) => ({
    code: finding.code,
    severity: finding.severity,
    line: `${finding.code} ${files[finding.where.file]?.path ?? ''}:${finding.where.line} ${finding.message}`,
  }));
}

test('every code has a page and every page a code', () => {
  expect(grammarFolder('findings')).toEqual(codes.map((code) => `${code}.md`).sort());
});

describe.each(codes)('%s', (code) => {
  const page = grammarFile(`findings/${code}.md`);

  test('opens with its title, says why, and has both sections', () => {
    const [heading, blank, why] = page.split('\n');
    expect(heading).toBe(`# ${CODES[code].title}`);
    expect(blank).toBe('');
    expect(why).toMatch(/^\w|^`/);
    expect(page.match(/^## .*$/gm)).toEqual(['## Wrong', '## Right']);
  });

  if (TOLD_IN_WORDS.has(code)) {
    test('is told in words, without a journal', () => {
      expect(fences(page)).toEqual([]);
      expect(section(page, 'Wrong').trim()).not.toBe('');
      expect(section(page, 'Right').trim()).not.toBe('');
    });
    return;
  }

  test('the wrong journal gives this code and no other', () => {
    const findings = told(section(page, 'Wrong'));
    expect(
      [...new Set(findings.map((finding) => finding.code))],
      findings.map((finding) => finding.line).join('\n'),
    ).toEqual([code]);
  });

  if (CODES[code].severity !== 'error' && /`sic`[^.]*answers/.test(page)) {
    test('`sic` answers it, as the page says', () => {
      const files = filesOf(section(page, 'Wrong'));
      const wrong = checkTexts(files).findings.find((finding) => finding.code === code);
      const at = wrong?.where ?? { file: -1, line: -1 };
      const answered = files.map((file, i) => {
        const lines = file.text.split('\n');
        return i === at.file
          ? { ...file, text: lines.map((line, j) => (j === at.line - 1 ? `${line}, sic` : line)).join('\n') }
          : file;
      });
      expect(answered).not.toEqual(files);
      expect(checkTexts(answered).findings.map((finding) => `${finding.code} ${finding.message}`)).toEqual([]);
    });
  }

  test('the right journal gives neither an error nor this code', () => {
    const findings = told(section(page, 'Right'));
    expect(
      findings.filter((finding) => finding.severity === 'error' || finding.code === code).map(({ line }) => line),
    ).toEqual([]);
  });
});

test('links between pages lead to pages', () => {
  for (const name of grammarFolder('findings')) {
    for (const [, target] of grammarFile(`findings/${name}`).matchAll(/\]\(([^)#]+)\)/g)) {
      expect(grammarFolder('findings'), `${name} links to ${target}`).toContain(target);
    }
  }
});
