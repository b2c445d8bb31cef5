/** One cause, one finding: a good journal with one line broken gives that line's finding and nothing else besides. */
import { describe, expect, test } from 'vitest';
import { checkTexts } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { cases } from '../corpus/cases.ts';

/** Ways a tired hand breaks a line; each gives the line back where it finds nothing to break. */
const WAYS: Readonly<Record<string, (line: string) => string>> = {
  'a verb misspelt': (line) =>
    line.replace(/^(\s*(?:\+?\d\d:\d\d(?:(?:, |\.\.)\+?\d\d:\d\d)* )?(?:struck )?)([A-Za-z]{3,})/, '$1zq$2'),
  'a quote left open': (line) => (/,$|#|--|—/.test(line.trimEnd()) ? line : `${line.trimEnd()} "open`),
  'a unit misspelt': (line) => line.replace(/(\d) (L|kg|g\/hL|mg\/L)\b/, '$1 qqq'),
  'a decimal comma': (line) => line.replace(/(\b\d+)(?=( L| kg| g))/, '$1,5'),
};

/** Lines that say nothing of their own, or whose words are kept as they stand, whatever they are. */
const KEPT_AS_WRITTEN = /^\s*(?:#|\||$|method )/;
/** A name given again after a rename that cannot be read is told as taken: two lines have to be looked at. */
const TWO_LINES = new Set(['names/renamed']);

/** What is struck need not be readable, and gives no finding at all; the rows of a struck table are among it. */
const STRUCK = /^\s*(?:\+?\d\d:\d\d(?:(?:, |\.\.)\+?\d\d:\d\d)* )?struck /;
const OF_STRUCK_LINES = new Set(['corrections/struck-though-unread']);

function* broken(
  files: readonly SourceFile[],
): Generator<{ line: string; way: string; files: SourceFile[]; at: number }> {
  for (const [index, file] of files.entries()) {
    const lines = file.text.replace(/^\ufeff/, '').split(/\r?\n/);
    for (const [at, line] of lines.entries()) {
      if (KEPT_AS_WRITTEN.test(line)) continue;
      for (const [way, spoil] of Object.entries(WAYS)) {
        const spoilt = spoil(line);
        if (spoilt === line) continue;
        const text = [...lines.slice(0, at), spoilt, ...lines.slice(at + 1)].join('\n');
        yield { line: spoilt, way, at: at + 1, files: files.map((one, i) => (i === index ? { ...file, text } : one)) };
      }
    }
  }
}

describe.each(cases('good').filter(({ name }) => !TWO_LINES.has(name) && !OF_STRUCK_LINES.has(name)))(
  '$name',
  ({ files }) => {
    test('one broken line, one finding', () => {
      for (const { files: spoilt, line, way, at } of broken(files)) {
        const told = checkTexts(spoilt).findings.map(
          (finding) => `${finding.where.line} ${finding.code} ${finding.message}`,
        );
        expect(told, `line ${at}, ${way}: ${line}`).toHaveLength(STRUCK.test(line) ? 0 : 1);
      }
    });
  },
);
