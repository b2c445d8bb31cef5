/** A whole comparison worded for people, for a terminal and a page alike. */
import { dayText, fullDayText } from '../dates.ts';
import { capital, counted } from '../names.ts';
import { cell, type Sheet } from '../sheet.ts';
import type { ComparisonReport, End } from './comparison-report.ts';
import {
  commitText,
  shortId,
  type ToldClass,
  type ToldFinding,
  toldChange,
  toldClasses,
  toldFinding,
} from './told-changes.ts';
import { type ToldState, type ToldThing, toldState, toldThing } from './told-states.ts';
import type { Work } from './work-changes.ts';

export interface ToldEnd {
  readonly side: 'before' | 'after';
  readonly name: string;
  /** `told to Sat 3 Oct 2026`, `no day in it yet`. */
  readonly told: string;
}

/** What a commit did to the past, where it did anything. */
export interface ToldCommit {
  readonly title: string;
  /** The newest day of the journal it was made to. */
  readonly newest: string;
  readonly classes: readonly ToldClass[];
}

export interface ToldComparison {
  readonly title: string;
  readonly ends: readonly ToldEnd[];
  readonly unseen: readonly string[];
  /** In one sentence. */
  readonly lead: string;
  readonly classes: readonly ToldClass[];
  readonly states: readonly ToldState[];
  readonly lots: readonly ToldThing[];
  readonly vessels: readonly ToldThing[];
  readonly findings: readonly ToldFinding[];
  readonly work: { readonly title: string; readonly sheet: Sheet } | undefined;
  /** The commits between the ends; undefined where they are no two ends of a history. */
  readonly commits: Sheet | undefined;
  /** Commits that touched days that were past when they were made, each against the journal of its time. */
  readonly corrections: readonly ToldCommit[];
}

function endText({ kind, name, commit }: End): string {
  return kind === 'revision' && commit !== undefined ? `${name} (${commitText(commit)})` : name;
}

const endOf = (side: ToldEnd['side'], end: End, newest: number | undefined): ToldEnd => ({
  side,
  name: endText(end),
  told: newest === undefined ? 'no day in it yet' : `told to ${fullDayText(newest)}`,
});

function leadText({ comparison }: ComparisonReport): string {
  const { changes, findings, work, states } = comparison;
  const count = (kind: string): number => changes.filter((change) => change.class === kind).length;
  const parts = [
    count('correction') === 0 ? '' : counted(count('correction'), 'correction of the past', 'corrections of the past'),
    count('late') === 0 ? '' : counted(count('late'), 'late entry', 'late entries'),
    count('new') === 0 ? '' : counted(count('new'), 'change of new work', 'changes of new work'),
  ].filter((part) => part !== '');
  if (parts.length > 0) return `${capital(parts.join(', '))}.`;
  const differs =
    states.some(({ lots, vessels }) => lots.length + vessels.length > 0) ||
    findings.gone.length + findings.found.length + findings.changed.length > 0 ||
    work.gone.length + work.come.length + work.changed.length > 0;
  return differs
    ? 'No entry was added, changed or taken out; where lines stand makes the difference.'
    : 'Both tell the same.';
}

const workText = ({ what, lot, vessel }: Work): string => `${what}, ${lot} in ${vessel}`;
const dueText = ({ status, due, left }: Work): string =>
  `${status === 'overdue' ? 'overdue since ' : ''}${dayText(due)}${left === undefined || left === 1 ? '' : `, ${left} times`}`;

function workSheet({ comparison }: ComparisonReport): ToldComparison['work'] {
  const { work } = comparison;
  const rows = [
    ...work.gone.map((one) => ({ cells: [cell(workText(one)), cell(one.plan), cell(dueText(one)), cell('')] })),
    ...work.come.map((one) => ({ cells: [cell(workText(one)), cell(one.plan), cell(''), cell(dueText(one))] })),
    ...work.changed.map(({ before, after }) => ({
      cells: [cell(workText(after)), cell(after.plan), cell(dueText(before)), cell(dueText(after))],
    })),
  ];
  if (rows.length === 0) return undefined;
  return {
    title: `Work due as of ${fullDayText(work.on)}`,
    sheet: {
      label: 'Work due',
      caption: 'Work that is due on other days, or no more: overdue, that day, and the week after it',
      columns: [{ name: 'Work', kind: 'words' }, { name: 'Plan' }, { name: 'Before' }, { name: 'After' }],
      rows,
      sort: false,
    },
  };
}

function commitsSheet({ history }: ComparisonReport): Sheet | undefined {
  if (history === undefined || history.way.length === 0) return undefined;
  return {
    label: 'Commits',
    caption: 'Commits between the two that changed the journal, each against the journal of its time',
    columns: [
      { name: 'Commit', kind: 'nowrap' },
      { name: 'Made', kind: 'nowrap' },
      { name: 'By' },
      { name: 'Corrections', kind: 'number' },
      { name: 'Late', kind: 'number' },
      { name: 'New', kind: 'number' },
      { name: 'Subject', kind: 'words' },
    ],
    rows: history.way.map(({ made, takenBack }) => {
      const { commit, changes, unseen } = made;
      const count = (kind: string): string =>
        unseen ? 'not here' : String(changes.filter((one) => one.class === kind).length);
      const words = commit === undefined ? 'not committed yet' : commit.subject;
      return {
        cells: [
          cell(commit === undefined ? 'work tree' : shortId(commit)),
          cell(commit?.date ?? ''),
          cell(commit?.author ?? ''),
          cell(count('correction')),
          cell(count('late')),
          cell(count('new')),
          cell(takenBack ? `taken back: ${words}` : words),
        ],
      };
    }),
    sort: false,
  };
}

const NO_TOUCHES = { lots: [], vessels: [] };

/** Commits that touched the past of their time. */
function corrections({ history }: ComparisonReport): ToldCommit[] {
  return (history?.way ?? []).flatMap(({ made, takenBack }, at) => {
    const past = made.changes.filter((one) => one.class !== 'new');
    if (takenBack || past.length === 0) return [];
    return [
      {
        title: commitText(made.commit),
        newest: made.newest === undefined ? '' : `the newest day was ${fullDayText(made.newest)}`,
        classes: toldClasses(
          past.map((one, i) => ({ ...one, told: toldChange(one, `s${at + 1}-${i + 1}`, NO_TOUCHES, []) })),
          0,
        ),
      },
    ];
  });
}

/** `mostNew`: changes of new work beyond which the rest is counted; all else is told whole. */
export function toldComparison(report: ComparisonReport, mostNew: number): ToldComparison {
  const { before, after, unseen, comparison, history } = report;
  const { settings } = after.book;
  const changes = comparison.changes.map((one, i) => {
    const made = (history?.makers[i] ?? []).flatMap((at) => history?.way[at] ?? []);
    return { ...one, told: toldChange(one, `c${i + 1}`, one, made) };
  });
  const classes = toldClasses(changes, mostNew);
  const shown = new Set(classes.flatMap(({ days }) => days.flatMap((day) => day.changes.map(({ id }) => id))));
  const lots = comparison.lots.map((lot, i) => toldThing(lot, `l${i + 1}`, settings, shown));
  const vessels = comparison.vessels.map((vessel, i) => toldThing(vessel, `v${i + 1}`, settings, shown));
  const places = new Map([...lots, ...vessels].map(({ name, id }) => [name, `#${id}`]));
  const { gone, found, changed } = comparison.findings;
  return {
    title: `${before.name} and ${after.name}`,
    ends: [endOf('before', before, comparison.newest.before), endOf('after', after, comparison.newest.after)],
    unseen,
    lead: leadText(report),
    classes,
    states: comparison.states.map((state) => toldState(state, settings, (name) => places.get(name))),
    lots,
    vessels,
    findings: [
      ...gone.map((finding) => toldFinding('−', finding, before.book.files)),
      ...changed.flatMap((both) => [
        toldFinding('−', both.before, before.book.files),
        toldFinding('+', both.after, after.book.files),
      ]),
      ...found.map((finding) => toldFinding('+', finding, after.book.files)),
    ],
    work: workSheet(report),
    commits: commitsSheet(report),
    corrections: corrections(report),
  };
}
