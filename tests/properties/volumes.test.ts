/** Random seasons by classes of wine: accounts close, exactly and as they are told, however the record is cut into periods. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Book } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { monthVolumes } from '../../src/report/month-volumes.ts';
import {
  type AccountVolumes,
  type Amount,
  type PeriodVolumes,
  periodVolumes,
  plus,
  sumOf,
  type ToldUnits,
  toldUnits,
} from '../../src/report/period-volumes.ts';
import { daysPeriod, periodsOf } from '../../src/report/periods.ts';
import { type WineFlows, wineFlows } from '../../src/report/wine-flows.ts';
import { yearLosses } from '../../src/report/year-losses.ts';
import { FIRST_DAY, journalOf, type Season, seasons, VESSELS } from './season.ts';

/** A reading that chance puts somewhere: of a day, a vessel, and what was measured. */
type Chance = readonly [day: number, vessel: number, what: number, value: number];

const dayText = (day: number): string => new Date((FIRST_DAY + day) * 86_400_000).toISOString().slice(0, 10);

/** Readings that send wine from one class to another, and must through its ferment. */
function readingLine([day, vessel, what, value]: Chance): string {
  const { name } = VESSELS[vessel % VESSELS.length] ?? { name: 'T1' };
  const measured =
    what % 5 === 0
      ? `alcohol ${(10 + (value % 160) / 10).toFixed(1)} %`
      : what % 5 === 1
        ? `CO2 ${((value % 80) / 10).toFixed(1)} g/L`
        : what % 5 === 2
          ? `brix ${(20 + (value % 120) / 10).toFixed(1)}`
          : what % 5 === 3
            ? `brix ${(value % 10).toFixed(1)}`
            : 'brix -1.5';
  return `${dayText(day)}\n23:${String(10 + (value % 50))} reading ${name} ${measured} sic\n`;
}

const readings = fc.array(fc.noBias(fc.tuple(fc.nat(60), fc.nat(999), fc.nat(999), fc.nat(9999))), {
  minLength: 10,
  maxLength: 60,
  size: 'max',
});
const laws = fc.constantFrom('us', 'eu', 'none');

function filesOf(season: Season, some: readonly Chance[], law: string): SourceFile[] {
  const law_ = { path: 'a-law.cellar', text: `law ${law}\n` };
  return [law_, ...journalOf(season), { path: 'z-readings.cellar', text: some.map(readingLine).join('') }];
}

const bookOf = (files: readonly SourceFile[]): Book => makeBook(files, undefined, checkJournal);

const same = (a: Amount, b: Amount): void => expect(a).toEqual(b);

/** Start, what came and what went come to the end, and entries come to their lines, in every unit. */
function closes({ start, lines, toAccountFor, rounding, end }: AccountVolumes): void {
  const of = (way: 'in' | 'out') => sumOf(lines.filter((line) => line.way === way).map(({ amount }) => amount));
  same(plus(start, of('in')), toAccountFor);
  same(plus(end, of('out')), plus(toAccountFor, rounding));
  expect(rounding.exact).toBe(0);
  for (const level of [start, end]) {
    expect(Math.min(level.litres, level.gallons)).toBeGreaterThanOrEqual(0);
    if (level.exact === 0) same(level, { exact: 0, litres: 0, gallons: 0 });
  }
  for (const { amount, entries } of lines) {
    same(sumOf(entries.map((entry) => entry.amount)), amount);
    expect(Math.min(amount.exact, amount.litres, amount.gallons)).toBeGreaterThanOrEqual(0);
  }
  expect(start.exact).toBeGreaterThanOrEqual(0);
  expect(end.exact).toBeGreaterThanOrEqual(0);
}

const lineOf = (volumes: PeriodVolumes, kind: string, way: string, key: string): Amount =>
  sumOf(
    volumes.accounts
      .filter((account) => account.kind === kind)
      .flatMap(({ lines }) => lines.filter((line) => line.way === way && line.key === key))
      .map(({ amount }) => amount),
  );

const endOf = (volumes: PeriodVolumes, kind: string): Amount =>
  sumOf(volumes.accounts.filter((account) => account.kind === kind).map(({ end }) => end));

/** What is told of an account, by its name. */
const byName = ({ accounts }: PeriodVolumes): Map<string, AccountVolumes> =>
  new Map(accounts.map((account) => [account.account, account]));

/** Levels are rounded from the exact ones; what the lines miss them by never drifts, however long the record. */
function near(flows: WineFlows, units: ToldUnits, { account, rounding, end }: AccountVolumes): void {
  const kinds = flows.flows.filter(({ from, to }) => from === account || to === account).length;
  const scale = 10 ** units.litres.places / 1e6;
  expect(Math.abs(end.litres - end.exact * scale)).toBeLessThanOrEqual(0.5 + 1e-6);
  expect(Math.abs(rounding.litres)).toBeLessThanOrEqual(kinds + 1);
}

const SOME = fc.record({ season: seasons({ minLength: 20, maxLength: 120 }), some: readings, law: laws });
const runs = { numRuns: 60, interruptAfterTimeLimit: 60_000, markInterruptAsFailure: true };

describe('random seasons by class', () => {
  test('every month of every account closes, begins where the last one ended, and both sides of a transfer agree', () => {
    const seen = new Set<string>();
    fc.assert(
      fc.property(SOME, fc.boolean(), fc.nat(3), ({ season, some, law }, exact, places) => {
        const book = bookOf(filesOf(season, some, law));
        const flows = wineFlows(book);
        const units = toldUnits(flows.rules, exact, places);
        const before = new Map<string, Amount>();
        const months = monthVolumes(book);
        for (const [i, period] of periodsOf(book, 'month').entries()) {
          const volumes = periodVolumes(flows, period, units);
          for (const account of volumes.accounts) {
            closes(account);
            near(flows, units, account);
            same(account.start, before.get(account.account) ?? { exact: 0, litres: 0, gallons: 0 });
            for (const { key } of account.lines) seen.add(key);
          }
          for (const [name, { exact: was }] of before) if (was > 0) expect([...byName(volumes).keys()]).toContain(name);
          for (const { account, end } of volumes.accounts) before.set(account, end);
          same(lineOf(volumes, 'bulk', 'in', 'blended'), lineOf(volumes, 'bulk', 'out', 'blended'));
          same(lineOf(volumes, 'bulk', 'out', 'bottled'), lineOf(volumes, 'bottled', 'in', 'bottled'));
          same(lineOf(volumes, 'must', 'out', 'produced'), lineOf(volumes, 'bulk', 'in', 'produced'));
          // the month's page tells of the same cellar with must and all
          expect(endOf(volumes, 'must').exact + endOf(volumes, 'bulk').exact).toBe(months[i]?.bulk.end);
          expect(endOf(volumes, 'bottled').exact).toBe(months[i]?.bottled.end);
          const fermenting = volumes.notYetWine.reduce((sum, { volume }) => sum + volume, 0);
          expect(fermenting).toBe(endOf(volumes, 'must').exact);
          const inBottle = volumes.bottles.reduce((sum, { count, size }) => sum + count * size, 0);
          expect(inBottle).toBe(endOf(volumes, 'bottled').exact);
        }
        const last = periodVolumes(flows, daysPeriod(book.firstDay, book.on), units);
        const inVessels = book.vessels.reduce((sum, { content }) => sum + content.volume, 0);
        expect(endOf(last, 'must').exact + endOf(last, 'bulk').exact).toBe(inVessels);
      }),
      runs,
    );
    // chance reached the lines that matter
    for (const key of ['produced', 'blended', 'corrected', 'bottled', 'lees', 'for sale', 'effervescent'])
      expect(seen).toContain(key);
  });

  test('cut anywhere, the parts of a stretch of days come to the whole', () => {
    fc.assert(
      fc.property(SOME, fc.array(fc.nat(70), { minLength: 1, maxLength: 6 }), ({ season, some, law }, days) => {
        const book = bookOf(filesOf(season, some, law));
        const flows = wineFlows(book);
        const units = toldUnits(flows.rules);
        const cuts = [...new Set(days.map((day) => book.firstDay + day))].sort((a, b) => a - b);
        const first = book.firstDay - 3;
        const last = book.on + 3;
        const starts = [first, ...cuts.map((day) => day + 1)].filter((day) => day <= last);
        const parts = starts.map((from, i) =>
          periodVolumes(flows, daysPeriod(from, (starts[i + 1] ?? last + 1) - 1), units),
        );
        const whole = periodVolumes(flows, daysPeriod(first, last), units);
        for (const account of whole.accounts) {
          for (const line of account.lines) {
            const told = parts.map(
              (part) =>
                byName(part)
                  .get(account.account)
                  ?.lines.find(({ way, key }) => way === line.way && key === line.key)?.amount ?? {
                  exact: 0,
                  litres: 0,
                  gallons: 0,
                },
            );
            same(sumOf(told), line.amount);
          }
          const end = byName(parts.at(-1) ?? whole).get(account.account)?.end;
          if (end !== undefined) same(end, account.end);
        }
      }),
      runs,
    );
  });

  test('what shares are of, and what is held against them, come to what there was and to what was lost', () => {
    let moved = 0;
    fc.assert(
      fc.property(SOME, ({ season, some }) => {
        const flows = wineFlows(bookOf(filesOf(season, some, 'us')));
        for (const period of periodsOf(bookOf(filesOf(season, some, 'us')), 'year')) {
          const volumes = periodVolumes(flows, period, toldUnits(flows.rules));
          const bulk = volumes.accounts.filter(({ kind }) => kind === 'bulk');
          const sum = (key: 'stored' | 'produced' | 'lostStored' | 'lostProduced'): number => {
            for (const { shares } of bulk) expect(shares[key]).toBeGreaterThanOrEqual(0);
            return bulk.reduce((all, { shares }) => all + shares[key], 0);
          };
          const start = sumOf(bulk.map((account) => account.start)).exact;
          const came = lineOf(volumes, 'bulk', 'in', 'found').exact + lineOf(volumes, 'bulk', 'in', 'bought').exact;
          expect(sum('stored')).toBe(start + came);
          expect(sum('produced')).toBe(lineOf(volumes, 'bulk', 'in', 'produced').exact);
          const { classes } = yearLosses(flows.rules, volumes);
          expect(sum('lostStored') + sum('lostProduced')).toBe(sumOf(classes.map(({ lost }) => lost)).exact);
          for (const { lost, used } of classes)
            if (used.reduce((all, one) => all + one.lost, 0) !== lost.exact) moved++;
          // nothing is lost that there was not
          for (const { shares } of bulk) {
            if (shares.stored === 0) expect(shares.lostStored).toBe(0);
            if (shares.produced === 0) expect(shares.lostProduced).toBe(0);
          }
        }
      }),
      runs,
    );
    expect(moved).toBeGreaterThan(0);
  });

  test('the finding of losses and the page of losses tell the same of every year', () => {
    let passedAny = 0;
    fc.assert(
      fc.property(SOME, ({ season, some }) => {
        const book = bookOf(filesOf(season, some, 'us'));
        const flows = wineFlows(book);
        const passed = periodsOf(book, 'year').flatMap((period) =>
          yearLosses(flows.rules, periodVolumes(flows, period, toldUnits(flows.rules))).classes.flatMap(({ used }) =>
            used.filter((one) => one.passed),
          ),
        );
        const told = book.findings.filter(({ code }) => code === 'loss-above-share');
        expect(told.length).toBe(passed.length);
        passedAny += passed.length;
      }),
      runs,
    );
    expect(passedAny).toBeGreaterThan(0);
  });
});
