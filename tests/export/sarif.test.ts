/** The log of SARIF fits the published schema of the standard, and says what the findings say. */
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import AjvDraft4 from 'ajv-draft-04';
import { describe, expect, it } from 'vitest';
import { CODES, type Code } from '../../grammar/codes.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { lineAt, type SourceFile } from '../../src/journal/files.ts';
import type { Finding } from '../../src/journal/findings.ts';
import { findingsSarif } from '../../src/report/findings-sarif.ts';
import { cases } from '../corpus/cases.ts';

// the schema of SARIF 2.1.0, as the package of its working group's library carries it
const SCHEMA = createRequire(import.meta.url).resolve('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json');
const PAGES = resolve(import.meta.dirname, '../../grammar/findings');

const pages = new Map(
  readdirSync(PAGES)
    .filter((name) => name.endsWith('.md'))
    .map((name) => [name.slice(0, -3), readFileSync(join(PAGES, name), 'utf8')]),
);

const URI = /^[A-Za-z][A-Za-z0-9+.-]*:[^\s<>"{}|\\^`]+$/;
const URI_REFERENCE = /^(?:[A-Za-z0-9._~!$&'()*+,;=:@/?#[\]-]|%[0-9A-Fa-f]{2})*$/;
const ajv = new AjvDraft4({
  strict: false,
  // its patterns are of the older kind
  unicodeRegExp: false,
  allErrors: true,
  formats: { uri: URI, 'uri-reference': URI_REFERENCE, 'date-time': /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d/ },
});
const validate = ajv.compile(JSON.parse(readFileSync(SCHEMA, 'utf8')) as object);

const options = { version: '0.1.0', pages, folder: 'my journal/2026', done: true };
const logOf = (findings: readonly Finding[], files: readonly SourceFile[]) => findingsSarif(findings, files, options);

function fits(log: unknown): void {
  const plain: unknown = JSON.parse(JSON.stringify(log));
  expect(validate(plain), JSON.stringify(validate.errors?.slice(0, 5))).toBe(true);
}

const one = (text: string, path = 'a.cellar'): SourceFile[] => [{ path, text }];
const check = (files: readonly SourceFile[]) => logOf(checkJournal(files).findings, files);

describe('the schema', () => {
  it('takes the log of every journal of the corpus', () => {
    // the rules are the same in all: one log has their pages in it
    fits(check(one('nonsense\n')));
    for (const { files } of [...cases('good'), ...cases('bad')])
      fits(findingsSarif(checkJournal(files).findings, files, { ...options, pages: new Map() }));
  });

  it('refuses a log that lacks something, or says something else', () => {
    const log = check(one('nonsense\n'));
    const [run] = log.runs;
    const { tool: _, ...without } = run ?? {};
    expect(validate({ ...log, version: '2.0.0' })).toBe(false);
    expect(validate({ ...log, runs: [without] })).toBe(false);
    expect(validate({ ...log, runs: [{ ...run, columnKind: 'bytes' }] })).toBe(false);
    expect(validate({ ...log, runs: [{ ...run, results: [{ ruleId: 'x', level: 'fatal', message: {} }] }] })).toBe(
      false,
    );
  });
});

describe('the rules', () => {
  const rules = check(one('')).runs[0]?.tool.driver.rules ?? [];

  it('are the codes, each with its page and its level', () => {
    expect(rules.map(({ id }) => id)).toEqual(Object.keys(CODES));
    for (const rule of rules) {
      const { severity, title } = CODES[rule.id];
      expect(rule.shortDescription.text).toBe(title);
      expect(rule.defaultConfiguration.level).toBe(severity);
      expect(pages.get(rule.id) ?? '', rule.id).toContain(rule.help?.markdown ?? 'no page');
      expect(rule.help?.markdown).toContain('## Wrong');
      expect(rule.fullDescription?.text).toMatch(/^.{20,}[.!?]$/s);
      expect(rule.fullDescription?.text).not.toContain('## ');
      expect(rule.name).toMatch(/^([A-Z][a-z0-9]*)+$/);
    }
  });

  it('are found by their index', () => {
    for (const { files } of cases('bad')) {
      for (const result of check(files).runs[0]?.results ?? []) expect(rules[result.ruleIndex]?.id).toBe(result.ruleId);
    }
  });
});

describe('a result', () => {
  const resultsOf = (files: readonly SourceFile[]) => check(files).runs[0]?.results ?? [];

  it('marks what the finding marks, for every finding of the corpus', () => {
    let marked = 0;
    for (const { files } of cases('bad')) {
      const { findings } = checkJournal(files);
      const results = logOf(findings, files).runs[0]?.results ?? [];
      for (const [i, finding] of findings.entries()) {
        const result = results[i];
        expect(result?.level).toBe(finding.severity);
        expect(result?.message.text.startsWith(finding.message)).toBe(true);
        if (finding.help !== undefined) expect(result?.message.text.endsWith(finding.help)).toBe(true);
        expect(result?.relatedLocations?.length ?? 0).toBe(finding.related.length);
        const place = result?.locations?.[0]?.physicalLocation;
        if (finding.where.line === 0 || place === undefined || !('region' in place)) continue;
        const file = files.find((source) => encodeURI(source.path) === place.artifactLocation.uri);
        const line = lineAt(file?.text ?? '', place.region.startLine);
        expect(place.region.startLine).toBe(finding.where.line);
        expect(place.region.startColumn).toBe(finding.where.column);
        expect(place.region.endColumn).toBeLessThanOrEqual(Math.max(line.length + 1, place.region.startColumn + 1));
        marked++;
      }
    }
    expect(marked).toBeGreaterThan(100);
  });

  it('counts columns in UTF-16 code units, without the byte order mark', () => {
    const [log] = check(one('\ufeff"𝒯 bin" 10:00 rack\n')).runs;
    expect(log?.columnKind).toBe('utf16CodeUnits');
    const text = '2026-01-12 Mon\n10:00 taste T1 -- 𝒯\nnote "𝒯" bogus T2\n';
    const [result] = resultsOf(one(text)).filter(({ message }) => message.text.includes('bogus'));
    const place = result?.locations?.[0]?.physicalLocation;
    const region = place !== undefined && 'region' in place ? place.region : undefined;
    expect('note "𝒯" bogus T2'.slice((region?.startColumn ?? 0) - 1, (region?.endColumn ?? 0) - 1)).toBe('bogus');
  });

  it('has an address with every odd character of its path encoded', () => {
    const [result] = resultsOf(one('nonsense here\n', 'a b/c:d#e%é.cellar'));
    expect(result?.locations?.[0]?.physicalLocation.artifactLocation).toEqual({
      uri: 'a%20b/c%3Ad%23e%25%C3%A9.cellar',
      uriBaseId: 'JOURNAL',
    });
    fits(check(one('nonsense here\n', 'a b/c:d#e%é.cellar')));
  });

  it('about a whole file has no region, about the folder no place', () => {
    const about = (file: number): Finding => ({
      code: 'file-unreadable' satisfies Code,
      severity: 'error',
      where: { file, line: 0, column: 1, endColumn: 2 },
      message: 'it cannot be read',
      related: [],
    });
    const log = logOf([about(0), about(-1)], one('x'));
    fits(log);
    expect(log.runs[0]?.results.map(({ locations }) => locations)).toEqual([
      [{ physicalLocation: { artifactLocation: { uri: 'a.cellar', uriBaseId: 'JOURNAL' } } }],
      undefined,
    ]);
  });
});
