/** Changes of entries, worded for people: what stood, what stands, where, what it touches and who made it. */
import { CODES } from '../../../grammar/codes.ts';
import type { Finding } from '../../journal/findings.ts';
import { dayText, fullDayText, isoDay } from '../dates.ts';
import { nameList } from '../names.ts';
import type { ChangeClass } from './classes.ts';
import type { ClassedChange, Commit, WayStep } from './commits.ts';
import type { EntryChange, Manner } from './entry-changes.ts';
import type { JournalEntry } from './journal-entries.ts';

export interface ToldLine {
  /** `−` what stood, `+` what stands, ` ` what they stand below. */
  readonly sign: '−' | '+' | ' ';
  readonly text: string;
}

export interface ToldChange {
  /** Its anchor: the changes of a comparison are numbered from 1, in the order of time. */
  readonly id: string;
  /** `added`, `taken out`, `changed`, `struck out` and so on. */
  readonly what: string;
  readonly where: string;
  readonly lines: readonly ToldLine[];
  /** Lots, then vessels. */
  readonly lots: string;
  readonly vessels: string;
  readonly made: readonly string[];
}

/** Changes of one day, or of the standing facts. */
export interface ToldDay {
  readonly title: string;
  /** `2026-09-14`; empty for standing facts. */
  readonly iso: string;
  readonly changes: readonly ToldChange[];
}

export interface ToldClass {
  readonly class: ChangeClass;
  readonly title: string;
  readonly days: readonly ToldDay[];
  readonly count: number;
  /** How many are left out here. */
  readonly further: number;
}

const MANNERS: Readonly<Record<Manner, string>> = {
  words: 'changed',
  struck: 'struck out',
  restored: 'no longer struck out',
  redated: 'put under another day',
  mended: 'mended: it can be read now',
  broken: 'changed: it cannot be read any more',
};

const TITLES: Readonly<Record<ChangeClass, string>> = {
  correction: 'Corrections of the past',
  late: 'Late entries',
  new: 'New work, and changes to the newest day',
};
const CLASSES: readonly ChangeClass[] = ['correction', 'late', 'new'];

export function whatText(change: EntryChange): string {
  if (change.kind === 'added') return 'added';
  if (change.kind === 'removed') return 'taken out';
  const { manner, before, lines } = change;
  if (manner === 'redated' && before.day !== undefined)
    return `put under this day; it stood under ${dayText(before.day)}`;
  if (manner !== 'words') return MANNERS[manner];
  if (lines.every((line) => line.before === undefined)) return 'added to';
  return lines.every((line) => line.after === undefined) ? 'taken out in part' : MANNERS.words;
}

function whereText({ before, after }: EntryChange, line: number | undefined): string {
  const at = (entry: JournalEntry): string => `${entry.path}:${line ?? entry.head.line}`;
  if (after !== undefined) return at(after);
  return before === undefined ? '' : `was ${at(before)}`;
}

const physical = (sign: ToldLine['sign'], text: string): ToldLine[] =>
  text.split('\n').map((line) => ({ sign, text: line }));

/** The lines of a change, below the head they belong to where that is as it was. */
export function linesOfChange(change: EntryChange): ToldLine[] {
  const entry = change.after ?? change.before;
  const told = change.lines.flatMap(({ before, after }) => [
    ...(before === undefined ? [] : physical('−', before.text)),
    ...(after === undefined ? [] : physical('+', after.text)),
  ]);
  const [first] = change.lines;
  const headed = (first?.after ?? first?.before)?.kind === 'head';
  return headed || entry === undefined ? told : [...physical(' ', entry.head.text), ...told];
}

/** The first letters of an id that tell commits of one repository apart. */
const SHORT = 10;
export const shortId = ({ id }: Commit): string => id.slice(0, SHORT);

/** `3f2a1b9c0d, 2026-10-04 18:20 +0200, Ana: Mend the drain` */
export function commitText(commit: Commit | undefined): string {
  if (commit === undefined) return 'not committed yet';
  const { author, date, subject } = commit;
  return `${[shortId(commit), date, author].filter((part) => part !== '').join(', ')}: ${subject}`;
}

/** What one step of the way is called where a change names it. */
const stepText = ({ made, takenBack }: WayStep): string =>
  `${takenBack ? 'taken back: ' : ''}${commitText(made.commit)}`;

export function toldChange(
  { change }: ClassedChange,
  id: string,
  touches: { readonly lots: readonly string[]; readonly vessels: readonly string[] },
  made: readonly WayStep[],
): ToldChange {
  const [first] = change.lines;
  return {
    id,
    what: whatText(change),
    where: whereText(change, (change.after === undefined ? first?.before : first?.after)?.line),
    lines: linesOfChange(change),
    lots: nameList(touches.lots),
    vessels: nameList(touches.vessels),
    made: made.map(stepText),
  };
}

interface Numbered extends ClassedChange {
  readonly told: ToldChange;
}

const dayOfChange = ({ before, after }: EntryChange): number | undefined => (after ?? before)?.day;

/** Changes by class and day, of new work at most so many; classes without any are left out. */
export function toldClasses(changes: readonly Numbered[], mostNew: number): ToldClass[] {
  return CLASSES.flatMap((kind) => {
    const all = changes.filter((one) => one.class === kind);
    const own = kind === 'new' ? all.slice(0, mostNew) : all;
    const days: { day: number | undefined; changes: ToldChange[] }[] = [];
    for (const { change, told } of own) {
      const day = dayOfChange(change);
      const last = days[days.length - 1];
      if (last !== undefined && last.day === day) last.changes.push(told);
      else days.push({ day, changes: [told] });
    }
    if (all.length === 0) return [];
    return [
      {
        class: kind,
        title: TITLES[kind],
        count: all.length,
        further: all.length - own.length,
        days: days.map((one) => ({
          title: one.day === undefined ? 'Standing facts' : fullDayText(one.day),
          iso: one.day === undefined ? '' : isoDay(one.day),
          changes: one.changes,
        })),
      },
    ];
  });
}

export interface ToldFinding {
  readonly sign: '−' | '+';
  readonly severity: Finding['severity'];
  readonly title: string;
  readonly message: string;
  readonly where: string;
}

export function toldFinding(
  sign: ToldFinding['sign'],
  { code, severity, message, where }: Finding,
  files: readonly { readonly path: string }[],
): ToldFinding {
  const path = files[where.file]?.path ?? '';
  return {
    sign,
    severity,
    title: CODES[code].title,
    message: message.replaceAll('`', ''),
    where: path === '' || where.line === 0 ? path : `${path}:${where.line}`,
  };
}
