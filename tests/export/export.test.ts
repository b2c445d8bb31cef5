/** The export: described by its schema, and true to the accounts it tells. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import schema from '../../src/report/export.schema.json' with { type: 'json' };
import { exportBook } from '../../src/report/export.ts';

const DEMO = resolve(import.meta.dirname, '../../demo-journal');

const files = readdirSync(DEMO, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.name.endsWith('.cellar'))
  .map((entry) => relative(DEMO, join(entry.parentPath, entry.name)))
  .sort()
  .map((path) => ({ path, text: readFileSync(join(DEMO, path), 'utf8') }));

const micro = (litres: number): number => Math.round(litres * 1e6);

const IN = ['made', 'bought', 'found', 'blendedIn', 'liquids', 'dipGains', 'settled'] as const;
const OUT = [
  'blendedOut',
  'setApart',
  'bottled',
  'dispatched',
  'samples',
  'lees',
  'pomace',
  'losses',
  'evaporation',
  'dipLosses',
] as const;

describe('the export of the demo journal', () => {
  const exported = exportBook(makeBook(files, undefined, checkJournal));
  const plain: unknown = JSON.parse(JSON.stringify(exported));

  it('fits its schema', () => {
    const validate = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true }).compile(schema);
    expect(validate(plain), JSON.stringify(validate.errors?.slice(0, 5))).toBe(true);
  });

  it('is refused by the schema where a field is missing or of another kind', () => {
    const validate = new Ajv2020({ strict: true, allowUnionTypes: true }).compile(schema);
    const { months: _, ...without } = exported;
    expect(validate(JSON.parse(JSON.stringify(without)))).toBe(false);
    expect(validate(JSON.parse(JSON.stringify({ ...exported, on: '14 September' })))).toBe(false);
  });

  it('closes the account of every lot to the microlitre', () => {
    expect(exported.lots.length).toBeGreaterThan(20);
    for (const lot of exported.lots) {
      const account: Readonly<Record<string, number>> = lot.account;
      const sum = (keys: readonly string[]): number => keys.reduce((total, key) => total + micro(account[key] ?? 0), 0);
      expect(sum(IN) - sum(OUT), lot.name).toBe(micro(lot.onHandLitres));
    }
  });

  it('has in its vessels and bottles what its lots have on hand', () => {
    const vessels = exported.vessels.reduce((sum, vessel) => sum + micro(vessel.litres), 0);
    const bottles = exported.lots.reduce(
      (sum, lot) => sum + lot.bottles.reduce((all, one) => all + one.count * micro(one.sizeLitres), 0),
      0,
    );
    expect(exported.lots.reduce((sum, lot) => sum + micro(lot.onHandLitres), 0)).toBe(vessels + bottles);
  });

  it('begins each month with what the last one ended with, and ends with what is on hand', () => {
    let bulk = 0;
    let bottled = 0;
    for (const month of exported.months) {
      expect(micro(month.bulk.start)).toBe(bulk);
      expect(micro(month.bottled.start)).toBe(bottled);
      bulk = micro(month.bulk.end);
      bottled = micro(month.bottled.end);
    }
    expect(bulk).toBe(exported.vessels.reduce((sum, vessel) => sum + micro(vessel.litres), 0));
    expect(bulk + bottled).toBe(exported.lots.reduce((sum, lot) => sum + micro(lot.onHandLitres), 0));
  });

  it('has composition shares that add up to the whole', () => {
    for (const lot of exported.lots) {
      if (lot.composition.length === 0) continue;
      const ppm = lot.composition.reduce((sum, part) => sum + Math.round(part.share * 1e6), 0);
      expect(ppm, lot.name).toBe(1e6);
    }
  });

  it('tells the chemistry of a lot with what each figure rests on', () => {
    const lot = exported.lots.find(({ name }) => name === 'SYR-free');
    const { alcohol, molecularSulfurDioxide, sulfurDioxideHadMilligramsPerLitre, malolactic } = lot?.chemistry ?? {};
    expect(alcohol).toMatchObject({ percentVolume: 13.7, measured: true, at: expect.stringMatching(/^2027-06-03T/) });
    // 32 mg/L free at pH 3.62: 32 / (1 + 10^1.81), the plain constant.
    expect(molecularSulfurDioxide).toMatchObject({ method: 'plain', freeMilligramsPerLitre: 32, alcohol: null });
    expect(molecularSulfurDioxide?.milligramsPerLitre).toBeCloseTo(32 / (1 + 10 ** (3.62 - 1.81)), 4);
    expect(malolactic).toMatchObject({ state: 'finished', malicGramsPerLitre: 0.06 });
    expect(sulfurDioxideHadMilligramsPerLitre).toBeGreaterThan(90);
    const must = exported.lots.find(({ name }) => name === 'SYR-27');
    expect(must?.chemistry).toMatchObject({ alcohol: { measured: false }, molecularSulfurDioxide: null });
  });

  it('foretells every ferment a day with its interval, or says why not', () => {
    expect(exported.ferments.map(({ vessel }) => vessel)).toEqual(
      exported.vessels
        .filter(({ lot, litres }) => {
          const stage = exported.lots.find(({ name }) => name === lot)?.stage ?? '';
          return litres > 0 && ['must', 'juice', 'fermenting'].includes(stage);
        })
        .map(({ name }) => name),
    );
    const foretold = exported.ferments.filter(({ dry }) => dry !== null);
    expect(foretold.length).toBeGreaterThan(0);
    for (const { vessel, newest, dry, refused, fallPerDay, standardError } of exported.ferments) {
      expect(dry === null, vessel).toBe(refused !== null);
      if (dry === null) continue;
      expect(fallPerDay).toBeGreaterThan(0);
      expect(standardError).toBeGreaterThan(0);
      expect([dry.earliest, dry.at, dry.latest ?? '9999'], vessel).toEqual(
        [dry.earliest, dry.at, dry.latest ?? '9999'].sort(),
      );
      expect(dry.earliest >= (newest?.at ?? ''), vessel).toBe(true);
    }
  });

  it('names a line that is there for everything', () => {
    const lines = new Map(files.map((file) => [file.path, file.text.split('\n').length]));
    for (const one of [
      ...exported.vessels,
      ...exported.lots,
      ...exported.movements,
      ...exported.readings,
      ...exported.additions,
    ]) {
      expect(one.source.line).toBeLessThanOrEqual(lines.get(one.source.file) ?? 0);
    }
  });

  it('tells an earlier day as it was', () => {
    const early = exportBook(makeBook(files, Date.UTC(2026, 8, 20) / 86_400_000, checkJournal));
    expect(early.on).toBe('2026-09-20');
    expect(early.movements.every((movement) => movement.at < '2026-09-21T12')).toBe(true);
    expect(early.lots.length).toBeLessThan(exported.lots.length);
  });
});
