/**
 * A journal as an editor knows it: folded and checked as `check` does it, but after an edit only from the edited day on.
 * What comes out is what a check from scratch says.
 */

import type { Cellar } from '../cellar/cellar.ts';
import { type Folded, type FoldedDays, type FoldPause, foldDays, type Onlooker } from '../cellar/fold.ts';
import { orEmpty } from '../checks/check-journal.ts';
import { CHECKS } from '../checks/index.ts';
import type { DayNumber } from '../journal/events.ts';
import { cutIntoDays, type readBlock, type SourceFile } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';
import type { Register } from '../journal/names.ts';
import { Annals } from './annals.ts';

/** A file cut into its days, with what there is to say about its day lines. */
export interface CutFile extends ReturnType<typeof cutIntoDays> {
  readonly text: string;
  readonly findings: readonly Finding[];
}

/** What is known at some moment of the record. */
export interface Known {
  readonly register: Register;
  readonly cellar: Cellar;
  readonly annals: Annals;
}

/** Entry lines between two pauses that are kept, so that no edit is far from one. */
const SPACING = 1500;
/** Days lately edited whose beginnings are kept as well. */
const MOST_EDITED = 4;

const BEFORE_ALL = Number.NEGATIVE_INFINITY;

const annalsOf = (watchers: readonly Onlooker[]): Annals | undefined =>
  watchers.find((watcher): watcher is Annals => watcher instanceof Annals);

/** What is wanted beside an editor's own; the same for a study and the one before it. */
export interface StudyOptions {
  /** Others who look on, and can be copied. */
  readonly watchers?: readonly ((cellar: Cellar) => Onlooker)[];
  /** Nothing after this day is counted. */
  readonly until?: DayNumber;
  /** Reads the lines of a day. */
  readonly read?: typeof readBlock;
}

export class Study {
  readonly files: readonly SourceFile[];
  readonly cuts: readonly CutFile[];
  private readonly spacing: number;
  private readonly more: StudyOptions;
  private first: { readonly day: DayNumber | undefined } | undefined;
  /** In the order of time. */
  private pauses: FoldPause[] = [];
  /** The beginnings of days lately edited, the last one last. */
  private edited: DayNumber[] = [];
  /** Days lately looked at whose beginnings are kept, the last one last. */
  private visited: readonly DayNumber[] = [];
  /** Where the fold stands; undefined before its beginning. */
  private at: FoldPause | undefined;
  /** Lines of work folded for this study so far. */
  lines = 0;
  private done: { readonly folded: Folded; readonly known: Known; readonly watchers: readonly Onlooker[] } | undefined;
  /** What was known before the edit, for as long as nothing newer is. */
  private readonly stale: Known | undefined;

  /** Takes up files; whatever an earlier study of nearly the same files has worked out is used again. */
  constructor(files: readonly SourceFile[], before?: Study, spacing = SPACING, more: StudyOptions = {}) {
    this.files = files;
    this.spacing = spacing;
    this.more = more;
    const same = before !== undefined && sameFiles(before.files, files) ? before : undefined;
    this.cuts = files.map(({ text }, file) => {
      const known = same?.cuts[file];
      return known !== undefined && known.text === text ? known : cutFile(files, file);
    });
    this.stale = before?.known();
    if (same === undefined) return;
    if (this.cuts.every((cut, i) => cut === same.cuts[i])) {
      this.pauses = same.pauses;
      this.edited = same.edited;
      this.at = same.at;
      this.done = same.done;
      return;
    }
    const changed = firstChange(same.cuts, this.cuts);
    const held = same.pauses.filter(({ at }) => at.day <= changed && at.late.length === 0);
    const known = same.edited.filter((day) => day !== changed && held.some(({ at }) => at.day === day));
    this.edited = Number.isFinite(changed) ? [...known.slice(1 - MOST_EDITED), changed] : known;
    for (const [i, pause] of held.entries()) {
      const earlier = this.pauses[this.pauses.length - 1]?.at.entries ?? 0;
      const later = held[i + 1]?.at.entries;
      if (this.edited.includes(pause.at.day) || later === undefined || later - earlier > spacing) this.keep(pause);
    }
    this.at = this.pauses[this.pauses.length - 1];
  }

  /** The first day of the record. */
  get firstDay(): DayNumber | undefined {
    this.first ??= { day: firstDay(this.cuts) };
    return this.first.day;
  }

  /** The whole record has been folded. */
  get isDone(): boolean {
    return this.done !== undefined;
  }

  /** Goes on for about so many lines of work; true once the end is reached. */
  advance(lines: number): boolean {
    if (this.done !== undefined) return true;
    const from = this.at?.at.entries ?? 0;
    this.run((entries) => entries - from >= lines);
    return this.done !== undefined;
  }

  /** Goes on until a day has been folded; what is known then may be of a later day, but lacks nothing of this one. */
  reach(day: DayNumber): Known | undefined {
    if (this.done === undefined && (this.at?.at.day ?? BEFORE_ALL) <= day) this.run((_, next) => next > day);
    return this.known();
  }

  /** The whole fold, with every finding. */
  outcome(): Folded {
    if (this.done === undefined) this.run(() => false);
    if (this.done === undefined) throw new Error('a fold that was not stopped did not end');
    return this.done.folded;
  }

  /** Who looked on at the whole fold. */
  onlookers(): readonly Onlooker[] {
    this.outcome();
    return this.done?.watchers ?? [];
  }

  /** What is known so far: of the whole record where it has been folded, else as far as it has been, else from before. */
  known(): Known | undefined {
    if (this.done !== undefined) return this.done.known;
    const { at } = this;
    const annals = at === undefined ? undefined : annalsOf(at.watchers);
    return at === undefined || annals === undefined ? this.stale : { register: at.register, cellar: at.cellar, annals };
  }

  /** How things stood as a day began, where that is kept: it is, of days lately edited. */
  beginningOf(day: DayNumber): Known | undefined {
    const pause = this.pauses.find(({ at }) => at.day === day);
    const annals = pause === undefined ? undefined : annalsOf(pause.watchers);
    return pause === undefined || annals === undefined
      ? undefined
      : { register: pause.register, cellar: pause.cellar, annals };
  }

  /** Folds up to the end of a day with somebody else looking on as well, without going on itself. */
  watch(day: DayNumber, watcher: (cellar: Cellar) => Onlooker): FoldedDays {
    this.reach(day);
    const from = this.pauseAt(day);
    return foldDays(this.files, {
      ...this.options(from),
      watchers: [...(from === undefined ? this.watchers : []), watcher],
      before: ({ day: next }) => next > day,
    });
  }

  /** The pause at the beginning of a day, made where there is none: who looks at a line looks at its neighbours too. */
  private pauseAt(day: DayNumber): FoldPause | undefined {
    const from = this.pauses.findLast(({ at }) => at.day <= day);
    if (from?.at.day === day) return from;
    let made: FoldPause | undefined;
    foldDays(this.files, {
      ...this.options(from),
      ...(from === undefined ? { watchers: this.watchers } : {}),
      before: (at, take) => {
        if (at.day === day) made = take();
        return at.day >= day;
      },
    });
    if (made === undefined) return from;
    const [forgotten] = this.visited.length < MOST_EDITED ? [] : this.visited;
    this.visited = [...this.visited.filter((one) => one !== forgotten), day];
    const others = this.pauses.filter(({ at }) => at.day !== forgotten || this.edited.includes(at.day));
    this.pauses = [...others.filter(({ at }) => at.day < day), made, ...others.filter(({ at }) => at.day > day)];
    return made;
  }

  private get watchers(): readonly ((cellar: Cellar) => Onlooker)[] {
    return [...WATCHERS, ...(this.more.watchers ?? [])];
  }

  private options(from: FoldPause | undefined) {
    const { until, read } = this.more;
    return {
      ...(until === undefined ? {} : { until }),
      ...(read === undefined ? {} : { read }),
      cut: (_: readonly SourceFile[], file: number, report: (finding: Finding) => void) => this.cutAgain(file, report),
      ...(from === undefined ? {} : { from }),
    };
  }

  private cutAgain(file: number, report: (finding: Finding) => void): CutFile {
    const cut = this.cuts[file];
    if (cut === undefined) return { text: '', blocks: [], dayLines: [], findings: [] };
    for (const finding of cut.findings) report(finding);
    return cut;
  }

  private run(stops: (entries: number, next: DayNumber) => boolean): void {
    const from = this.at;
    const focus = this.edited[this.edited.length - 1];
    let counted = from?.at.entries ?? 0;
    const folded = foldDays(this.files, {
      ...this.options(from),
      ...(from === undefined ? { watchers: this.watchers } : {}),
      before: (at, take) => {
        // at least a day, so that every run gets on
        this.lines += at.entries - counted;
        counted = at.entries;
        const stopping = at.day > (from?.at.day ?? BEFORE_ALL) && stops(at.entries, at.day);
        if (!stopping && !this.isKept(at.day, at.entries, focus)) return false;
        const pause = take();
        // a fold that cannot be paused goes on to its end
        if (pause === undefined) return false;
        if (this.isKept(at.day, at.entries, focus)) this.keep(pause);
        this.at = pause;
        return stopping;
      },
    });
    if (folded.paused) return;
    const whole = orEmpty(this.files, folded.end());
    this.lines += whole.entries - counted;
    const annals = annalsOf(folded.watchers) ?? new Annals(whole.cellar);
    this.done = {
      folded: whole,
      known: { register: whole.register, cellar: whole.cellar, annals },
      watchers: folded.watchers,
    };
  }

  /** Whether the beginning of a day is to be kept: of the edited one, and of one every so many lines. */
  private isKept(day: DayNumber, entries: number, focus: DayNumber | undefined): boolean {
    const last = this.pauses[this.pauses.length - 1]?.at;
    if (last !== undefined && last.day >= day) return false;
    const crossing = focus !== undefined && day >= focus && (last === undefined || last.day < focus);
    return crossing || entries - (last?.entries ?? 0) >= this.spacing;
  }

  private keep(pause: FoldPause): void {
    this.pauses = [...this.pauses, pause];
  }
}

const WATCHERS: readonly ((cellar: Cellar) => Onlooker)[] = [...CHECKS, (cellar) => new Annals(cellar)];

function cutFile(files: readonly SourceFile[], file: number): CutFile {
  const findings: Finding[] = [];
  const cut = cutIntoDays(files, file, (finding) => findings.push(finding));
  return { ...cut, text: files[file]?.text ?? '', findings };
}

const sameFiles = (before: readonly SourceFile[], after: readonly SourceFile[]): boolean =>
  before.length === after.length && before.every(({ path }, i) => path === after[i]?.path);

/** The first day about which two versions of a journal say different things, or the same elsewhere. */
function firstChange(before: readonly CutFile[], after: readonly CutFile[]): DayNumber {
  if (firstDay(before) !== firstDay(after)) return BEFORE_ALL;
  let first = Number.POSITIVE_INFINITY;
  for (let file = 0; file < after.length; file++) {
    const [old, now] = [before[file], after[file]];
    if (old === undefined || now === undefined || old === now) continue;
    const said = saidByDay(old);
    const says = saidByDay(now);
    for (const day of new Set([...said.keys(), ...says.keys()])) {
      if (day < first && !sameList(said.get(day), says.get(day))) first = day;
    }
  }
  return first;
}

function firstDay(cuts: readonly CutFile[]): DayNumber | undefined {
  let first: DayNumber | undefined;
  for (const { blocks, dayLines } of cuts) {
    for (const { day } of blocks) if (day !== undefined && (first === undefined || day < first)) first = day;
    for (const { day } of dayLines)
      if (!Number.isNaN(day.day) && (first === undefined || day.day < first)) first = day.day;
  }
  return first;
}

/** Everything a file says about each day, and where. */
function saidByDay({ text, blocks, dayLines }: CutFile): Map<DayNumber, unknown[]> {
  const said = new Map<DayNumber, unknown[]>();
  const add = (day: DayNumber | undefined, ...what: readonly unknown[]): void => {
    const key = day ?? BEFORE_ALL;
    const known = said.get(key);
    if (known === undefined) said.set(key, [...what]);
    else known.push(...what);
  };
  for (const { day, line, from, to, lost } of blocks) add(day, line, text.slice(from, to), lost);
  for (const { day, line } of dayLines) if (!Number.isNaN(day.day)) add(day.day, line, day.remark);
  return said;
}

const sameList = (a: readonly unknown[] | undefined, b: readonly unknown[] | undefined): boolean =>
  a !== undefined && b !== undefined && a.length === b.length && a.every((one, i) => one === b[i]);
