/** What a search looks through: lots, vessels, blocks, trials, materials, people, bottlings, findings, days and notes, each with its place. */
import { CODES } from '../../grammar/codes.ts';
import type { Happening } from '../cellar/book.ts';
import type { Place } from '../journal/events.ts';
import { lotOf, type ReportContext } from './context.ts';
import { dayOf, dayText, fullDayText, isoDay } from './dates.ts';
import { tame } from './escape.ts';
import { volumeText } from './figures.ts';
import { findingHref, findingsInOrder } from './finding-list.ts';
import type { Link } from './links.ts';
import { shownMaterials } from './materials.ts';
import { capital, counted, nameList } from './names.ts';
import { stageWord } from './stages.ts';
import { trialPages } from './trial-pages.ts';
import { winesOf } from './trials.ts';

/** A thing that can be found: its name, what else it is known by, and where it is. */
export interface SearchEntry {
  readonly title: string;
  readonly detail: string;
  /** From the site's root. */
  readonly href: string;
}

export interface SearchKind {
  /** What one of them is called. */
  readonly one: string;
  readonly many: string;
  readonly entries: readonly SearchEntry[];
}

/** The kinds in the order results of equal worth are told in. */
export type SearchIndex = readonly SearchKind[];

/** Characters of a note that are searched: a note is a few lines, and what is longer is a text pasted in. */
const MOST_OF_NOTE = 600;
/** Verbs with materials, and lots, that a day is known by. */
const MOST_WORDS = 16;
const MOST_LOTS = 6;

export function searchIndex(context: ReportContext): SearchIndex {
  const [lots, bottlings] = lotEntries(context);
  return [
    { one: 'lot', many: 'lots', entries: lots },
    { one: 'bottling', many: 'bottlings', entries: bottlings },
    { one: 'vessel', many: 'vessels', entries: vesselEntries(context) },
    { one: 'block', many: 'blocks', entries: blockEntries(context) },
    { one: 'trial', many: 'trials', entries: trialEntries(context) },
    { one: 'material', many: 'materials', entries: materialEntries(context) },
    { one: 'person', many: 'people', entries: peopleEntries(context) },
    { one: 'finding', many: 'findings', entries: findingEntries(context) },
    { one: 'day', many: 'days', entries: dayEntries(context) },
    { one: 'note', many: 'notes', entries: noteEntries(context) },
  ];
}

/** Without a place to go to nothing is found; whatever would reorder its neighbours is shown by its number. */
function entry(title: string, detail: string, { href }: Pick<Link, 'href'>): SearchEntry[] {
  return href === undefined ? [] : [{ title: tame(title), detail: tame(detail), href }];
}

function joined(parts: readonly (string | undefined)[]): string {
  return parts.filter((part) => part !== undefined && part !== '').join(', ');
}

function lotEntries(context: ReportContext): [lots: SearchEntry[], bottlings: SearchEntry[]] {
  const lots: SearchEntry[] = [];
  const bottlings: SearchEntry[] = [];
  for (const { facts } of context.book.lots) {
    const lot = lotOf(context, facts.id);
    if (lot === undefined) continue;
    const varieties = new Set(lot.composition.flatMap(({ origin }) => context.book.origins[origin]?.variety ?? []));
    const detail = joined([
      facts.bottling ? '' : stageWord(lot.stage),
      lot.colour,
      nameList([...varieties], 4),
      `begun ${dayText(dayOf(facts.since))}`,
      facts.style === undefined ? '' : `meant for ${facts.style}`,
      facts.formerly.length === 0 ? '' : `formerly ${facts.formerly.join(', ')}`,
    ]);
    (facts.bottling ? bottlings : lots).push(...entry(facts.name, detail, context.links.lot(facts.id)));
  }
  return [lots, bottlings];
}

function trialEntries(context: ReportContext): SearchEntry[] {
  return trialPages(context).flatMap(({ path, title, trial }) =>
    entry(
      title,
      joined([
        dayText(dayOf(trial.event.minute)),
        winesOf(context.book, trial),
        ...trial.said.rows.map(({ said }) => said),
      ]),
      { href: path },
    ),
  );
}

function vesselEntries(context: ReportContext): SearchEntry[] {
  return context.book.vessels.flatMap(({ facts, content, lot, retired }) =>
    entry(
      facts.name,
      joined([
        `${facts.kind} of ${volumeText(facts.capacity, context.settings)}`,
        ...facts.details,
        facts.at,
        retired ? 'retired' : '',
        content.volume > 0 && lot !== undefined ? `holds ${context.links.lot(lot).text}` : 'empty',
      ]),
      context.links.vessel(facts.id),
    ),
  );
}

function blockEntries(context: ReportContext): SearchEntry[] {
  return context.book.blocks.flatMap(({ name, variety, region, grower, hectares, details, place }) =>
    entry(
      name,
      joined([variety, region, grower, hectares === undefined ? '' : `${hectares}\u00A0ha`, ...details]),
      context.links.line(place),
    ),
  );
}

function materialEntries(context: ReportContext): SearchEntry[] {
  const used = new Map<number, number>();
  for (const { added } of context.book.happenings) {
    for (const material of new Set(added.map((one) => one.material))) {
      used.set(material, (used.get(material) ?? 0) + 1);
    }
  }
  return shownMaterials(context).flatMap(({ id, name, kind, substance, allergen }) => {
    const times = used.get(id) ?? 0;
    return entry(
      name,
      joined([
        kind,
        substance === name ? '' : substance,
        allergen === undefined ? '' : `allergen: ${allergen}`,
        times === 0 ? 'not added yet' : `added ${times === 1 ? 'once' : `${times} times`}`,
      ]),
      context.links.material(id),
    );
  });
}

/** People are found where they last did something. */
function peopleEntries(context: ReportContext): SearchEntry[] {
  const work = new Map<string, { times: number; last: Happening }>();
  for (const happening of context.book.happenings) {
    for (const hand of new Set(happening.event.hands)) {
      work.set(hand, { times: (work.get(hand)?.times ?? 0) + 1, last: happening });
    }
  }
  return [...work].flatMap(
    ([
      hand,
      {
        times,
        last: { event },
      },
    ]) =>
      entry(
        hand,
        `in ${counted(times, 'entry', 'entries')}, the last on ${dayText(dayOf(event.minute))}`,
        context.links.line(event.place),
      ),
  );
}

function findingEntries(context: ReportContext): SearchEntry[] {
  return findingsInOrder(context.book.findings).flatMap(({ code, severity, message, where }, position) => {
    const line = where.file < 0 ? '' : context.links.line(where).text;
    return entry(CODES[code].title, joined([severity, message.replaceAll('`', ''), line]), {
      href: findingHref(position),
    });
  });
}

/** A day is known by its date in both spellings, by what was done, what was added, and the lots. */
function dayEntries(context: ReportContext): SearchEntry[] {
  const days = new Map<number, { words: Set<string>; lots: Set<number>; place: Place }>();
  for (const { event, lots, added } of context.book.happenings) {
    const day = dayOf(event.minute);
    let known = days.get(day);
    if (known === undefined) {
      known = { words: new Set(), lots: new Set(), place: event.place };
      days.set(day, known);
    }
    if (event.kind !== 'day') known.words.add(event.verb);
    for (const { material } of added) known.words.add(context.book.materials[material]?.name ?? '');
    for (const lot of lots) known.lots.add(lot);
  }
  return [...days].flatMap(([day, { words, lots, place }]) => {
    const names = [...lots].map((lot) => context.links.lot(lot).text);
    const detail = joined([isoDay(day), ...[...words].slice(0, MOST_WORDS)]);
    return entry(
      fullDayText(day),
      names.length === 0 ? detail : `${detail}: ${nameList(names, MOST_LOTS)}`,
      context.links.line(place),
    );
  });
}

/** Notes and remarks, as they are written. */
function noteEntries(context: ReportContext): SearchEntry[] {
  return context.book.happenings.flatMap(({ event }) => {
    const text = joined([event.remark, event.note?.replace(/\s+/gu, ' ')]);
    if (text === '') return [];
    return entry(dayText(dayOf(event.minute)), cut(text), context.links.line(event.place));
  });
}

/** Whole characters: no half of a pair is left at the end. */
function cut(text: string): string {
  return text.length <= MOST_OF_NOTE ? text : `${text.slice(0, MOST_OF_NOTE).replace(/\p{Surrogate}$/u, '')}…`;
}

/**
 * The index as a script that a page loads beside its own, for pages opened from a disk may load nothing in another way.
 * Of an entry it gives title, detail, number of its page and, where it has one, the anchor there. No text is a key, none
 * can end the script or begin a comment in it.
 */
export function searchScript(index: SearchIndex): string {
  const pages = new Map<string, number>();
  const kinds = index.map(({ one, many, entries }) => [
    one,
    many,
    entries.map(({ title, detail, href }) => {
      const [page = '', anchor] = href.split('#');
      let at = pages.get(page);
      if (at === undefined) {
        at = pages.size;
        pages.set(page, at);
      }
      return anchor === undefined ? [title, detail, at] : [title, detail, at, anchor];
    }),
  ]);
  return `globalThis.ullageIndex = {"pages":${literal([...pages.keys()])},\n"kinds":${literal(kinds)}};\n`;
}

/** JSON that stands in a script: every bracket of a tag, and the two line ends only JSON knows, by their numbers. */
function literal(value: unknown): string {
  return JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/gu,
    (found) => `\\u${(found.codePointAt(0) ?? 0).toString(16).padStart(4, '0')}`,
  );
}

export interface SearchModel {
  readonly path: string;
  readonly count: string;
  /** What has a name, for those who search by eye. */
  readonly groups: readonly {
    readonly id: string;
    readonly title: string;
    readonly links: readonly Link[];
    /** Names beyond those. */
    readonly further: number;
  }[];
}

/** Names of one kind that the page lists: with all of them it would grow with the years. */
const MOST_NAMES = 250;
const NAMED: ReadonlySet<string> = new Set(['lots', 'bottlings', 'vessels', 'blocks', 'materials', 'people']);

/** The page of the search: a plain list of names, the newest first where they are many, that needs no script. */
export function searchModel(index: SearchIndex): SearchModel {
  const groups = index
    .filter(({ many, entries }) => NAMED.has(many) && entries.length > 0)
    .map(({ many, entries }) => ({
      id: many,
      title: capital(many),
      links: entries.slice(-MOST_NAMES).map(({ title, href }) => ({ text: title, href })),
      further: Math.max(0, entries.length - MOST_NAMES),
    }));
  const all = index.reduce((sum, { entries }) => sum + entries.length, 0);
  return { path: 'search.html', count: counted(all, 'entry', 'entries'), groups };
}
