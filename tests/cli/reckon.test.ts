/** `ullage reckon`: every calculation by its own example, from the record, and every way of asking wrongly. */
import { describe, expect, test } from 'vitest';
import { findUnit } from '../../grammar/units.ts';
import { CALCULATIONS } from '../../src/trade/calculations/index.ts';
import { folderOf, ROOT, ullage } from './run.ts';

/** An example as a shell would cut it: quotes hold a figure and its unit together. */
const cut = (example: string): string[] =>
  [...example.matchAll(/"([^"]*)"|(\S+)/g)].map((match) => match[1] ?? match[2] ?? '');

const reckon = (...args: string[]) => ullage(['reckon', ...args]);

const JOURNAL = folderOf({
  '2026.cellar': `vessel T1..T2 tank 1200 L
block ledge-2 Syrah
material kms is potassium metabisulfite

2026-01-12 Mon
found T1 800 L as GR of ledge-2, vintage 2025
09:00 reading T1 pH 3.6, free SO2 12 mg/L, total SO2 40 mg/L, alcohol 13.2 %

2026-02-02 Mon
10:00 add kms 20 g to T1
`,
});

describe('every calculation', () => {
  test('is listed', () => {
    const { stdout, status } = reckon();
    expect(status).toBe(0);
    for (const { name, say } of CALCULATIONS) {
      expect(stdout).toContain(name);
      expect(stdout).toContain(say);
    }
  });

  test('has a name, inputs and units of its own', () => {
    const names = CALCULATIONS.map(({ name }) => name);
    expect(new Set(names).size).toBe(names.length);
    for (const { name, inputs, sources, formula, range } of CALCULATIONS) {
      expect(name).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/);
      expect(sources.length).toBeGreaterThan(0);
      expect(formula).not.toBe('');
      expect(range).not.toBe('');
      expect(new Set(inputs.map((input) => input.name)).size).toBe(inputs.length);
      for (const { dimensions = [], unit } of inputs)
        if (dimensions.length > 0) expect(dimensions).toContain(findUnit(unit)?.dimension);
    }
  });

  test.each(CALCULATIONS.map(({ name, example }) => ({ name, example })))(
    '$name answers its example',
    ({ name, example }) => {
      const text = reckon(name, ...cut(example));
      expect(text.stderr).toBe('');
      expect(text.status).toBe(0);
      for (const word of ['from', 'by ', 'method', 'holds', 'source']) expect(text.stdout).toContain(`\n${word}`);
      const json = reckon(name, ...cut(example), '--format', 'json');
      const read: { figures: { value: number }[]; sources: string[] } = JSON.parse(json.stdout);
      expect(read.figures.length).toBeGreaterThan(0);
      for (const { value } of read.figures) expect(Number.isFinite(value)).toBe(true);
    },
  );

  test.each(CALCULATIONS.map(({ name, example }) => ({ name, example })))(
    '$name shows its help',
    ({ name, example }) => {
      const { stdout, status } = reckon(name, '--help');
      expect(status).toBe(0);
      expect(stdout.replace(/\s+/g, ' ')).toContain(`example: ullage reckon ${name} ${example}`);
    },
  );
});

describe('from the record', () => {
  test('a vessel gives its volume and its readings, and says how old they are', () => {
    const { stdout, status } = reckon('so2-dose', '--target', '0.6mg/L', '--journal', JOURNAL, '--of', 'T1');
    expect(status).toBe(0);
    // 0.6 × (1 + 10^(3.6 − 1.81)) = 37.6 free; 25.6 to go, 42.7 with 40 % bound; × 800 L / 0.5763 = 59.2 g
    expect(stdout).toMatch(/weigh in: 59\.2 g/);
    expect(stdout).toMatch(/volume +800 L {2}\(the book on 2026-02-02\)/);
    expect(stdout).toMatch(/ph +3\.6 pH {2}\(read on 2026-01-12\)/);
    expect(stdout).toContain('since then there was add, last on 2026-02-02: read it again before relying on this');
  });

  test('what is typed wins over the record', () => {
    const { stdout } = reckon(
      'so2-dose',
      '--target',
      '0.6mg/L',
      '--volume',
      '400L',
      '--journal',
      JOURNAL,
      '--of',
      'GR',
    );
    expect(stdout).toMatch(/weigh in: 29\.6 g/);
  });

  test('an earlier day knows nothing of what came later', () => {
    const { stdout } = reckon(
      'so2-dose',
      '--target',
      '0.6mg/L',
      '--journal',
      JOURNAL,
      '--of',
      'T1',
      '--on',
      '2026-01-20',
    );
    expect(stdout).not.toContain('since then');
  });

  test('the demo journal answers too', () => {
    const { status, stdout } = reckon('molecular-so2', '--journal', `${ROOT}/demo-journal`, '--of', 'SYR-free');
    expect(status).toBe(0);
    expect(stdout).toContain('molecular sulfur dioxide');
  });
});

describe('asked wrongly', () => {
  test.each([
    [['pearsn'], 2, 'did you mean `pearson-square`?'],
    [['pearson-square', '--figur', '12'], 2, 'Did you mean --figure?'],
    [['pearson-square', '--figure', '12'], 1, '--other-figure is missing'],
    [['pearson-square', '--figure', 'twelve'], 1, '--figure is a number: `twelve` is none'],
    [['pearson-square', '--figure', '12,5'], 1, 'decimals stand after a point'],
    [
      ['so2-dose', '--volume', '800', '--target', '0.6mg/L', '--ph', '3.6', '--free-so2', '12mg/L'],
      1,
      '--volume needs its unit',
    ],
    [
      ['so2-dose', '--volume', '800 kg', '--target', '0.6mg/L', '--ph', '3.6', '--free-so2', '12mg/L'],
      1,
      'not measured in kilograms',
    ],
    [
      ['so2-dose', '--volume', '800 furlongs', '--target', '0.6mg/L', '--ph', '3.6', '--free-so2', '12mg/L'],
      1,
      'no unit known here',
    ],
    [['molecular-so2', '--ph', '36.1', '--free-so2', '30mg/L'], 1, 'outside 2.5 to 4.5'],
    [['molecular-so2', '--ph', '3.6', '--free-so2', '30mg/L', '--method', 'guess'], 1, '--method is one of'],
    [['molecular-so2', '--of', 'T1'], 2, '--of needs --journal'],
    [['molecular-so2', '--journal', JOURNAL], 2, '--journal needs --of'],
    [['molecular-so2', '--journal', JOURNAL, '--of', 'T3'], 2, 'did you mean'],
    [['molecular-so2', '--journal', '/nowhere/at/all', '--of', 'T1'], 2, 'there is no such folder'],
    [['molecular-so2', '--journal', JOURNAL, '--of', 'T2'], 1, 'T2 has no figure of it'],
  ])('%j exits %i and says %s', (args, status, words) => {
    const ran = reckon(...args);
    expect(ran.stdout).toBe('');
    expect(ran.stderr).toContain(words);
    expect(ran.status).toBe(status);
  });
});
