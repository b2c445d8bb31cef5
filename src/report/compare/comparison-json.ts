/** A comparison as plain data for other programs; `comparison.schema.json` describes it. */
import { formatDate } from '../../../grammar/dates.ts';
import type { LotAccount } from '../../cellar/book.ts';
import type { DayNumber } from '../../journal/events.ts';
import { clock } from '../dates.ts';
import { findingJson } from '../findings-json.ts';
import type { MonthVolumes, Section } from '../month-volumes.ts';
import type { DayDifference, Held } from './by-day.ts';
import type { AddedState, LotState, Part, StateComparison, Totals, VesselState } from './cellar-state.ts';
import type { ClassedChange, Commit } from './commits.ts';
import type { Touched } from './comparison.ts';
import type { ComparisonReport, End } from './comparison-report.ts';
import type { EntryChange } from './entry-changes.ts';
import type { EntryLine, JournalEntry } from './journal-entries.ts';
import type { Work } from './work-changes.ts';

/** Litres of microlitres: six decimals at most, so that nothing is lost. */
const litres = (microlitres: number): number => microlitres / 1e6;
const kilograms = (micrograms: number): number => micrograms / 1e9;
const dayJson = (day: DayNumber | undefined): string | null => (day === undefined ? null : formatDate(day));

export const commitJson = ({ id, author, date, subject }: Commit) => ({ id, author, date, subject });

const lineJson = (entry: JournalEntry | undefined, line: EntryLine | undefined) =>
  entry === undefined || line === undefined ? null : { file: entry.path, line: line.line, text: line.text };

/** What was written before and after, line by line. */
export function changeJson({ change, class: kind }: ClassedChange) {
  const { before, after } = change;
  return {
    class: kind,
    kind: change.kind,
    entry: (after ?? before)?.kind ?? null,
    manner: change.kind === 'changed' ? change.manner : null,
    day: dayJson((after ?? before)?.day),
    dayBefore: before === undefined ? null : dayJson(before.day),
    time: timeJson(change),
    verb: (after ?? before)?.verb ?? null,
    lines: change.lines.map((line) => ({
      before: lineJson(before, line.before),
      after: lineJson(after, line.after),
    })),
  };
}

function timeJson({ before, after }: EntryChange): string | null {
  const minute = (after ?? before)?.times[0];
  return minute === undefined ? null : `${minute >= 1440 ? '+' : ''}${clock(minute % 1440)}`;
}

function endJson({ kind, name, commit, book }: End, newest: DayNumber | undefined, entries: number) {
  return {
    kind,
    name,
    commit: commit === undefined ? null : commitJson(commit),
    cellar: book.settings.name,
    newestDay: dayJson(newest),
    entries,
  };
}

const heldJson = ({ volume, stage, lot }: Held) => ({
  litres: litres(volume),
  ...(stage === undefined ? {} : { stage }),
  ...(lot === undefined ? {} : { lot }),
});

export const daysJson = (days: readonly DayDifference[]) =>
  days.map(({ day, before, after }) => ({ day: formatDate(day), before: heldJson(before), after: heldJson(after) }));

const touchedJson = ({ name, changes, firstDay, days }: Touched) => ({
  name,
  changes,
  firstDay: dayJson(firstDay),
  days: daysJson(days),
});

const partJson = ({ block, variety, vintage, region, grower, estate, run, volume }: Part) => ({
  block: block ?? null,
  variety,
  vintage: vintage ?? null,
  region: region ?? null,
  grower: grower ?? null,
  estate,
  run: run ?? null,
  litres: litres(volume),
});

const UNITS = { µg: { unit: 'g', by: 1e6 }, µL: { unit: 'mL', by: 1e3 }, pieces: { unit: 'pieces', by: 1 } } as const;

const additionJson = ({ material, unit, amount }: AddedState) => ({
  material,
  unit: UNITS[unit].unit,
  amount: amount / UNITS[unit].by,
});

const accountJson = (account: LotAccount): Record<string, number> =>
  Object.fromEntries(Object.entries(account).map(([key, value]: [string, number]) => [key, litres(value)]));

const lotJson = (lot: LotState | undefined) =>
  lot === undefined
    ? null
    : {
        stage: lot.stage,
        litres: litres(lot.volume),
        estimated: lot.estimated,
        vessels: lot.vessels,
        bottles: lot.bottles.map(({ count, size }) => ({ count, sizeLitres: litres(size) })),
        fruit: { receivedKilograms: kilograms(lot.fruitReceived), waitingKilograms: kilograms(lot.fruitWaiting) },
        composition: lot.composition.map(partJson),
        additions: lot.additions.map(additionJson),
        account: accountJson(lot.account),
      };

const vesselJson = (vessel: VesselState | undefined) =>
  vessel === undefined
    ? null
    : {
        lot: vessel.lot ?? null,
        litres: litres(vessel.volume),
        estimated: vessel.estimated,
        doubtful: vessel.doubtful,
        retired: vessel.retired,
        capacityLitres: litres(vessel.capacity),
        composition: vessel.composition.map(partJson),
      };

const totalsJson = ({ fruitWaiting, ...volumes }: Totals) => ({
  ...Object.fromEntries(Object.entries(volumes).map(([key, value]: [string, number]) => [key, litres(value)])),
  fruitWaitingKilograms: kilograms(fruitWaiting),
});

const sums = (section: Readonly<Record<string, number>>): Record<string, number> =>
  Object.fromEntries(Object.entries(section).map(([kind, volume]) => [kind, litres(volume)]));

const sectionJson = (section: Section) => ({
  start: litres(section.start),
  in: sums(section.in),
  out: sums(section.out),
  end: litres(section.end),
});

const monthJson = (month: MonthVolumes | undefined) =>
  month === undefined ? null : { bulk: sectionJson(month.bulk), bottled: sectionJson(month.bottled) };

const stateJson = ({ on, lots, vessels, totals, months }: StateComparison) => ({
  on: formatDate(on),
  lots: lots.map(({ name, differs, before, after }) => ({
    name,
    differs,
    before: lotJson(before),
    after: lotJson(after),
  })),
  vessels: vessels.map(({ name, differs, before, after }) => ({
    name,
    differs,
    before: vesselJson(before),
    after: vesselJson(after),
  })),
  totals: { differs: totals.differs, before: totalsJson(totals.before), after: totalsJson(totals.after) },
  months: months.map(({ month, before, after }) => ({ month, before: monthJson(before), after: monthJson(after) })),
});

const workJson = ({ status, what, vessel, lot, plan, due, left }: Work) => ({
  status,
  work: what,
  vessel,
  lot,
  plan,
  due: formatDate(due),
  left: left ?? null,
});

export function comparisonJson({ before, after, unseen, comparison, history }: ComparisonReport) {
  const { newest, entries, changes, findings, work } = comparison;
  return {
    format: 'ullage-comparison',
    version: 1,
    before: endJson(before, newest.before, entries.before),
    after: endJson(after, newest.after, entries.after),
    unseen,
    changes: changes.map((one, i) => ({
      ...changeJson(one),
      lots: one.lots,
      vessels: one.vessels,
      commits: history === undefined ? null : (history.makers[i] ?? []),
    })),
    lots: comparison.lots.map(touchedJson),
    vessels: comparison.vessels.map(touchedJson),
    states: comparison.states.map(stateJson),
    findings: {
      gone: findings.gone.map((finding) => findingJson(finding, before.book.files)),
      found: findings.found.map((finding) => findingJson(finding, after.book.files)),
      changed: findings.changed.map((both) => ({
        before: findingJson(both.before, before.book.files),
        after: findingJson(both.after, after.book.files),
      })),
    },
    work: {
      on: formatDate(work.on),
      gone: work.gone.map(workJson),
      come: work.come.map(workJson),
      changed: work.changed.map((both) => ({ before: workJson(both.before), after: workJson(both.after) })),
    },
    commits:
      history === undefined
        ? null
        : history.way.map(({ made, takenBack }) => ({
            commit: made.commit === undefined ? null : commitJson(made.commit),
            takenBack,
            unseen: made.unseen,
            newestDay: dayJson(made.newest),
            corrections: made.changes.filter((one) => one.class === 'correction').map(changeJson),
            late: made.changes.filter((one) => one.class === 'late').map(changeJson),
            new: made.changes.filter((one) => one.class === 'new').length,
          })),
  };
}
