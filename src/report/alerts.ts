/** What a winemaker should look at first: findings of the last days, slow ferments, wine short of sulfur dioxide, vessels in doubt. */
import { CODES } from '../../grammar/codes.ts';
import type { VesselRecord } from '../cellar/book.ts';
import { groupsOf } from '../due/groups.ts';
import type { Finding } from '../journal/findings.ts';
import { molecularMethod } from '../journal/house-methods.ts';
import { SULFUR_DIOXIDE_METHOD_NAMES } from '../trade/sulfur-dioxide.ts';
import { activeFerments, wantsLooking } from './active-ferments.ts';
import { happeningsOf, lotOf, type ReportContext } from './context.ts';
import { dayOf, shortDayText } from './dates.ts';
import { namesOf, timesText } from './due-list.ts';
import { percentText } from './figures.ts';
import { shareFull } from './fill.ts';
import { findingsInOrder, type Span, sentenceOf } from './finding-list.ts';
import type { Link } from './links.ts';
import { malolacticOf } from './malolactic.ts';
import { capital, counted } from './names.ts';
import { sulfurOf, USUAL_MOLECULAR } from './sulfur.ts';
import { WORK_PAGE, weekOf, whenText } from './work-due.ts';

export interface AlertRow {
  /** What it is about: vessels, a lot, or the title of a finding. */
  readonly about: readonly Link[];
  readonly words: readonly Span[];
  /** The line it rests on. */
  readonly line: Link | undefined;
}

export interface AlertGroup {
  readonly title: string;
  readonly grave: boolean;
  /** What holds for all its rows. */
  readonly note: string;
  readonly rows: readonly AlertRow[];
  /** What the rows leave out, and where it is told. */
  readonly further: Link | undefined;
}

/** Every source of alerts, in the order they are told: what one has to say is a group of its own, and nothing where there is nothing. */
const SOURCES: readonly ((context: ReportContext) => AlertGroup | undefined)[] = [
  findingsGroup,
  workGroup,
  fermentsGroup,
  sulfurGroup,
  doubtGroup,
  ullageGroup,
];

/** What only points to another page stands last. */
export function alertsOf(context: ReportContext): AlertGroup[] {
  const groups = SOURCES.flatMap((source) => source(context) ?? []);
  return [...groups.filter(({ rows }) => rows.length > 0), ...groups.filter(({ rows }) => rows.length === 0)];
}

/** A warning older than this is told on its own page only; an error stays until it is mended. */
const RECENT_DAYS = 7;
const MOST_ROWS = 6;

/** Findings that the ferments tell with their newest figures. */
const TOLD: ReadonlySet<Finding['code']> = new Set<Finding['code']>(['ferment-sluggish', 'ferment-stuck']);

const plain = (text: string): Span[] => [{ text, code: false }];

function findingsGroup(context: ReportContext): AlertGroup | undefined {
  const { book, links } = context;
  const dayAt = dayFinder(context);
  const wanted = findingsInOrder(book.findings).filter(({ severity, code }) => severity !== 'note' && !TOLD.has(code));
  const isRecent = (finding: Finding): boolean => (dayAt(finding) ?? book.on) > book.on - RECENT_DAYS;
  const told = wanted.filter((finding) => finding.severity === 'error' || isRecent(finding));
  const shown = told.slice(0, MOST_ROWS);
  const left = wanted.length - shown.length;
  const older = left - (told.length - shown.length);
  if (wanted.length === 0) return undefined;
  return {
    title: 'In the journal',
    grave: told.some(({ severity }) => severity === 'error'),
    note: '',
    rows: shown.map((finding) => ({
      about: [{ text: CODES[finding.code].title, href: links.explanation(finding.code) }],
      words: sentenceOf(finding.message),
      line: finding.where.file < 0 ? undefined : links.line(finding.where),
    })),
    further:
      left === 0
        ? undefined
        : {
            text: `${counted(left, older === left ? 'older finding' : 'more finding')} not answered`,
            href: 'findings.html',
          },
  };
}

/** The day a finding is about: that of the last entry of its file at or above its line. */
function dayFinder({ book }: ReportContext): (finding: Finding) => number | undefined {
  const files = new Map<number, { readonly line: number; readonly day: number }[]>();
  for (const { event } of book.happenings) {
    const entry = { line: event.place.line, day: dayOf(event.minute) };
    const entries = files.get(event.place.file);
    if (entries === undefined) files.set(event.place.file, [entry]);
    else entries.push(entry);
  }
  for (const entries of files.values()) entries.sort((a, b) => a.line - b.line);
  return ({ where }) => files.get(where.file)?.findLast(({ line }) => line <= where.line)?.day;
}

function fermentsGroup(context: ReportContext): AlertGroup | undefined {
  const wanted = activeFerments(context).filter(wantsLooking);
  if (wanted.length === 0) return undefined;
  return {
    title: 'Ferments to look at',
    grave: wanted.some(({ pace }) => pace?.state === 'stuck'),
    note: '',
    rows: wanted.slice(0, MOST_ROWS).map(({ vessel, lot, pace, sugar }) => ({
      about: [context.links.vessel(vessel.facts.id), context.links.lot(lot.facts.id)],
      words: plain(pace === undefined ? '' : paceWords(pace)),
      line: lineOf(context, sugar.at(-1)?.place),
    })),
    further: furtherOf(wanted.length, 'ferment', 'ferments.html'),
  };
}

function paceWords({ state, why, hoursSince }: { state: string; why: string; hoursSince: number }): string {
  const slow = state === 'stuck' || state === 'sluggish';
  if (slow) return `${capital(state)}: ${why}.`;
  const long = hoursSince < 72 ? `${Math.round(hoursSince)} hours` : `${Math.floor(hoursSince / 24)} days`;
  return `Not read for ${long}: ${why.replace(/; last read .*$/u, '')}.`;
}

function lineOf(context: ReportContext, place: { file: number; line: number } | undefined): Link | undefined {
  return place === undefined ? undefined : context.links.line(place);
}

function furtherOf(count: number, what: string, href: string): Link | undefined {
  return count <= MOST_ROWS ? undefined : { text: `${counted(count - MOST_ROWS, `more ${what}`)}`, href };
}

/** Work that is overdue; what is due today is counted, and told on its own page. */
function workGroup(context: ReportContext): AlertGroup | undefined {
  const due = groupsOf(weekOf(context.book)).filter(({ item }) => item.status !== 'next');
  const late = due.filter(({ item }) => item.status === 'overdue');
  if (due.length === 0) return undefined;
  const shown = late.slice(0, MOST_ROWS);
  const left = due.length - shown.length;
  return {
    title: late.length > 0 ? 'Work overdue' : 'Work today',
    grave: false,
    note: '',
    rows: shown.map(({ item, vessels }) => ({
      about: [{ text: `${capital(item.what)}${timesText(item)}`, href: WORK_PAGE }],
      words: plain(
        `${namesOf(context.book).vessels(vessels)} (${context.links.lot(item.lot).text}), ${whenText(item, context.book.on)}`,
      ),
      line: context.links.line(item.row.place),
    })),
    further:
      left === 0
        ? undefined
        : {
            text: `${counted(left, shown.length > 0 ? 'more work' : 'work', shown.length > 0 ? 'more works' : 'works')} due`,
            href: WORK_PAGE,
          },
  };
}

/** Wine whose newest molecular figure lies below the usual; one that is still going through malolactic is left without on purpose. */
function sulfurGroup(context: ReportContext): AlertGroup | undefined {
  const rows: AlertRow[] = [];
  for (const { facts, onHand, stage, happenings } of context.book.lots) {
    if (stage !== 'wine' || onHand === 0) continue;
    const of = happeningsOf(context, happenings);
    const newest = sulfurOf(context, facts.name, of)?.newest;
    if (newest === undefined || newest.molecular >= USUAL_MOLECULAR.low) continue;
    if (malolacticOf(context, facts.name, of)?.finished === false) continue;
    const since = of.findLast(
      ({ event, added }) =>
        event.minute > newest.minute && added.some(({ brings }) => brings.some(({ analyte }) => analyte === 'SO2')),
    );
    const after =
      since === undefined ? '' : ` Some was added on ${shortDayText(dayOf(since.event.minute))}: read it again.`;
    rows.push({
      about: [context.links.lot(facts.id)],
      words: plain(`${newest.molecular.toFixed(2)} mg/L molecular; ${newest.read}.${after}`),
      line: newest.line,
    });
  }
  if (rows.length === 0) return undefined;
  return {
    title: 'Short of sulfur dioxide',
    grave: false,
    note: `Below ${USUAL_MOLECULAR.low} mg/L molecular, the usual least; by ${SULFUR_DIOXIDE_METHOD_NAMES[molecularMethod(context.settings)]}.`,
    rows: rows.slice(0, MOST_ROWS),
    further: furtherOf(rows.length, 'lot', 'lots.html'),
  };
}

function doubtGroup(context: ReportContext): AlertGroup | undefined {
  const doubtful = context.book.vessels.filter((vessel) => vessel.doubtful);
  if (doubtful.length === 0) return undefined;
  return {
    title: 'Vessels in doubt',
    grave: false,
    note: 'A line that could not be read may have touched them: mend it, or dip them.',
    rows: [{ about: linksOf(context, doubtful), words: [], line: undefined }],
    further: furtherVessels(doubtful),
  };
}

const MOST_VESSELS = 12;

function linksOf(context: ReportContext, vessels: readonly VesselRecord[]): Link[] {
  return vessels.slice(0, MOST_VESSELS).map(({ facts }) => context.links.vessel(facts.id));
}

function furtherVessels(vessels: readonly VesselRecord[]): Link | undefined {
  const left = vessels.length - MOST_VESSELS;
  return left <= 0 ? undefined : { text: counted(left, 'more vessel'), href: 'vessels.html' };
}

/** Wine keeps where it fills its vessel; below this share there is air to see to (common practice, no source). */
const FULL = 0.95;

function ullageGroup(context: ReportContext): AlertGroup | undefined {
  const short = context.book.vessels
    .filter((vessel) => lotOf(context, vessel.lot)?.stage === 'wine' && vessel.content.volume > 0)
    .filter((vessel) => vessel.facts.capacity > 0 && shareFull(vessel) < FULL)
    .sort((a, b) => shareFull(a) - shareFull(b) || a.facts.id - b.facts.id);
  if (short.length === 0) return undefined;
  return {
    title: 'Wine with air over it',
    grave: false,
    note: 'Top it, move it, or keep gas over it.',
    rows: [
      {
        about: short.slice(0, MOST_VESSELS).map((vessel) => {
          const link = context.links.vessel(vessel.facts.id);
          return { ...link, text: `${link.text} ${percentText(shareFull(vessel))}`.replaceAll(' ', '\u00A0') };
        }),
        words: [],
        line: undefined,
      },
    ],
    further: furtherVessels(short),
  };
}
