/** `ullage history LOT`: a lot through the commits of its journal, and what its volume became with each. */
import { nearest } from '../../grammar/suggest.ts';
import type { Book } from '../cellar/book.ts';
import { foldJournal } from '../cellar/fold.ts';
import { makeBook } from '../cellar/make-book.ts';
import type { SourceFile } from '../journal/files.ts';
import type { Settings } from '../journal/register.ts';
import { type CommitChanges, commitChanges } from '../report/compare/commits.ts';
import { historyJson } from '../report/compare/history-json.ts';
import { type Journal, journalOf } from '../report/compare/journal-entries.ts';
import {
  begunBefore,
  type LotSeen,
  type LotStep,
  lotBegunAt,
  lotCalled,
  lotStep,
  seenIn,
} from '../report/compare/lot-history.ts';
import { commitText, toldChange } from '../report/compare/told-changes.ts';
import { fullDayText } from '../report/dates.ts';
import { exactVolumeText } from '../report/figures.ts';
import { counted } from '../report/names.ts';
import { stageWord } from '../report/stages.ts';
import { changeText } from './diff.ts';
import { commitsBetween, GitFailure, openRepository, type Repository, revisionIn } from './git.ts';
import { readFolder } from './journal-files.ts';
import { type Paint, painter, visible } from './show.ts';
import { StoredJournals } from './stored-journals.ts';

export interface HistoryOptions {
  /** The folder of the journal, in the repository whose commits are gone through. */
  readonly journal: string;
  readonly format: 'text' | 'json';
  readonly all: boolean;
}

/** Changes of one commit before the rest is only counted. */
const SHOWN = 6;

/** A state of the journal: a tree of the repository, or the files of the work tree. */
interface State {
  readonly key: string;
  readonly files: () => Promise<readonly SourceFile[]>;
}

/** Books of states lately asked for: a commit and what was before it. */
const BOOKS_KEPT = 4;

class Books {
  private readonly kept = new Map<string, Book>();

  async of(state: State): Promise<Book> {
    const known = this.kept.get(state.key);
    if (known !== undefined) return known;
    // only what lots held is asked for: no check looks on
    const book = makeBook(await state.files(), undefined, foldJournal);
    this.kept.set(state.key, book);
    for (const key of this.kept.keys()) {
      if (this.kept.size <= BOOKS_KEPT) break;
      this.kept.delete(key);
    }
    return book;
  }
}

interface Through {
  readonly steps: readonly LotStep[];
  readonly settings: Settings | undefined;
  readonly unseen: readonly string[];
  /** Names of lots that the newest state has, where none is called so. */
  readonly names: readonly string[];
}

/** 0 told, 2 wrong usage, or something that cannot be read. */
export async function history(lot: string, options: HistoryOptions): Promise<number> {
  let found: Through;
  try {
    const repository = openRepository(options.journal);
    const stored = new StoredJournals(repository);
    try {
      found = await new Follower(stored, options.journal).follow(lot);
    } finally {
      stored.close();
    }
  } catch (error) {
    if (!(error instanceof GitFailure)) throw error;
    process.stderr.write(`${visible(error.message)}\n`);
    return 2;
  }
  if (found.steps.length === 0) {
    const near = nearest(lot, found.names);
    for (const one of found.unseen) process.stderr.write(`not seen: ${visible(one)}\n`);
    process.stderr.write(
      `no commit of this journal has a lot ${visible(lot)}${near === undefined ? '' : `; did you mean ${visible(near)}?`}\n`,
    );
    return 2;
  }
  const lines =
    options.format === 'json'
      ? [JSON.stringify(historyJson(lot, found.steps, found.unseen), null, 2)]
      : text(lot, found, options.all, painter(process.stdout));
  process.stdout.write(`${lines.join('\n')}\n`);
  return 0;
}

class Follower {
  private readonly stored: StoredJournals;
  private readonly repository: Repository;
  private readonly folder: string;
  private readonly books = new Books();
  private settings: Settings | undefined;
  private names: readonly string[] = [];

  constructor(stored: StoredJournals, folder: string) {
    this.stored = stored;
    this.repository = stored.repository;
    this.folder = folder;
  }

  async follow(lot: string): Promise<Through> {
    const head = revisionIn(this.repository, 'HEAD');
    const steps: LotStep[] = [];
    const asked = lot;
    /** By commit, the name the lot has in it; the newest come first. */
    const named = new Map<string, string>();
    const top = await this.workTree(head, asked, named);
    if (top !== undefined) steps.unshift(top);
    const ids = head === undefined ? [] : commitsBetween(this.repository, undefined, head).reverse();
    const progress = progressOf(ids.length);
    for (const [done, id] of ids.entries()) {
      progress(done);
      const step = await this.commitStep(id, asked, named);
      if (step !== undefined) steps.unshift(step);
    }
    progress(ids.length);
    return { steps, settings: this.settings, unseen: this.unseen(head), names: this.names };
  }

  private unseen(head: string | undefined): string[] {
    return [
      ...(head === undefined ? ['there is no commit yet'] : []),
      ...(this.repository.shallow
        ? ['this clone is shallow: commits before its first ones are not here, nor what they changed']
        : []),
      ...(this.repository.bare ? ['this repository is bare: what is not committed yet cannot be there'] : []),
    ];
  }

  private tree(tree: string | undefined): State {
    return { key: tree ?? '', files: async () => (await this.stored.journalIn(tree)).files };
  }

  private async seen(state: State, name: string): Promise<LotSeen | undefined> {
    const book = await this.books.of(state);
    this.settings ??= book.settings;
    if (this.names.length === 0) this.names = book.lots.map(({ facts }) => facts.name);
    const lot = lotCalled(book, name);
    return lot === undefined ? undefined : seenIn(book, lot);
  }

  /** What a step did to the lot, and what it was called before; the name goes on to what was before it. */
  private async told(
    made: CommitChanges,
    after: State,
    before: readonly State[],
    name: string,
  ): Promise<{ step: LotStep | undefined; names: string[] }> {
    const seen = await this.seen(after, name);
    const names: string[] = [];
    const befores: (LotSeen | undefined)[] = [];
    for (const state of before) {
      const [known, was] = await this.seenBefore(state, made, seen, name);
      befores.push(known);
      names.push(was);
    }
    return { step: lotStep(made, befores[0], seen), names };
  }

  private async seenBefore(
    state: State,
    made: CommitChanges,
    after: LotSeen | undefined,
    name: string,
  ): Promise<[LotSeen | undefined, string]> {
    for (const called of [name, ...(after?.formerly.toReversed() ?? [])]) {
      const known = await this.seen(state, called);
      if (known !== undefined) return [known, known.name];
    }
    const begun = after === undefined ? undefined : begunBefore(made, after);
    const book = await this.books.of(state);
    const lot = begun === undefined ? undefined : lotBegunAt(book, begun);
    return lot === undefined ? [undefined, name] : [seenIn(book, lot), lot.facts.name];
  }

  private async commitStep(id: string, asked: string, named: Map<string, string>): Promise<LotStep | undefined> {
    const name = named.get(id) ?? asked;
    const commit = await this.stored.commit(id);
    const step = await this.stored.step(id);
    if (step === undefined) {
      // it left the journal as it was: names go on to its parents
      for (const parent of commit?.parents ?? []) if (!named.has(parent)) named.set(parent, name);
      return undefined;
    }
    const told = await this.told(
      commitChanges(step),
      this.tree(step.tree),
      step.parentTrees.map((tree) => this.tree(tree)),
      name,
    );
    (commit?.parents ?? []).forEach((parent, i) => {
      if (!named.has(parent)) named.set(parent, told.names[i] ?? name);
    });
    return told.step;
  }

  /** What lies in the work tree and is in no commit yet. */
  private async workTree(
    head: string | undefined,
    asked: string,
    named: Map<string, string>,
  ): Promise<LotStep | undefined> {
    if (this.repository.bare) return undefined;
    const { files, missing } = readFolder(this.folder);
    if (missing) return undefined;
    const from = head === undefined ? undefined : await this.stored.commit(head);
    const tree = from === undefined ? undefined : await this.stored.treeOf(from);
    const journal: Journal = journalOf(files);
    const before = (await this.stored.journalIn(tree)).journal;
    const made = commitChanges({ commit: undefined, parents: [before], base: undefined, journal, unseen: false });
    if (made.changes.length === 0) return undefined;
    const told = await this.told(made, { key: 'work tree', files: async () => files }, [this.tree(tree)], asked);
    if (head !== undefined) named.set(head, told.names[0] ?? asked);
    return told.step;
  }
}

/** Commits on a terminal before it is told how many are gone through. */
const MANY = 20;

/** A line that is written over while commits are gone through, and wiped in the end; silent where nobody looks. */
function progressOf(total: number): (done: number) => void {
  if (total < MANY || process.stderr.isTTY !== true) return () => {};
  return (done) => {
    process.stderr.write(done === total ? '\r\u001b[K' : `\r${done} of ${total} commits`);
  };
}

function seenText(seen: LotSeen | undefined, settings: Settings): string {
  if (seen === undefined) return 'no such lot';
  const volume = `${seen.estimated ? '~' : ''}${exactVolumeText(seen.volume, settings)}`;
  return `${volume}, ${stageWord(seen.stage)}, told to ${fullDayText(seen.on)}`;
}

function text(lot: string, { steps, settings, unseen }: Through, all: boolean, paint: Paint): string[] {
  if (settings === undefined) return [];
  const lines = [
    `${paint('bold', visible(lot))} through ${counted(steps.length, 'step')}, the oldest first`,
    ...unseen.map((one) => paint('yellow', `not seen: ${visible(one)}`)),
  ];
  for (const { commit, unseen: hidden, before, after, changes, days } of steps) {
    let heading = '';
    lines.push('', paint('cyan', visible(commitText(commit))));
    const name = after?.name ?? before?.name;
    if (before !== undefined && after !== undefined && before.name !== after.name)
      lines.push(`  ${visible(before.name)} is ${visible(after.name)} from here on`);
    else if (name !== undefined && name !== lot) lines.push(`  called ${visible(name)} here`);
    if (hidden) lines.push('  what it changed cannot be told: what was before it is not in this clone');
    const shown = all ? changes : changes.slice(0, SHOWN);
    for (const one of shown) {
      const kind = { correction: ', a correction of the past', late: ', a late entry', new: '' }[one.class];
      const day = (one.change.after ?? one.change.before)?.day;
      const under = `${day === undefined ? 'Standing facts' : fullDayText(day)}${kind}`;
      if (under !== heading) lines.push(`  ${under}`);
      heading = under;
      lines.push(...changeText(toldChange(one, '', { lots: [], vessels: [] }, []), paint));
    }
    if (shown.length < changes.length)
      lines.push(`  and ${counted(changes.length - shown.length, 'more change')}: --all shows them`);
    if (changes.length === 0 && !hidden) lines.push('  no line of its own was changed');
    const first = days.find((one) => one.before.volume !== one.after.volume);
    // what is written for new days is no change of what was told before
    if (!hidden && first !== undefined && before !== undefined && first.day <= before.on) {
      const [was, is] = [first.before, first.after].map(({ volume }) => exactVolumeText(volume, settings));
      lines.push(`  its volume differs from ${fullDayText(first.day)} on: ${was} → ${is} at the end of that day`);
    }
    const became = before === undefined || before.volume === after?.volume ? '' : `${seenText(before, settings)} → `;
    lines.push(`  ${hidden ? '' : became}${seenText(after, settings)}`);
  }
  return lines;
}
